"""What the language says against a part that cannot be."""

from __future__ import annotations

from circuitcheck.pipeline import parse
from tests.components.bench import TEST_OIL


def refusals(parts: str) -> list[str]:
    """Messages of all mistakes found in a list of parts."""
    project = parse(f'circuit "b"\noil {TEST_OIL}\nparts\n{parts}\n')
    return [finding.message for finding in project.mistakes if finding.severity.name == "ERROR"]
