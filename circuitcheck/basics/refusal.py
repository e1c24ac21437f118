"""The exception that carries findings to those who call the program from Python."""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.basics.carets import render
from circuitcheck.basics.findings import Finding


class CircuitError(Exception):
    """A text that is not understood; ``findings`` say where and why, the message shows them."""

    def __init__(
        self, findings: tuple[Finding, ...], text: str, used: Mapping[str, str] | None = None
    ) -> None:
        texts = used or {}
        rendered = [render(finding, texts.get(finding.place.file, text)) for finding in findings]
        super().__init__("\n\n".join(rendered))
        self.findings = findings
