"""Cycles on the bench: what one step leaves to the next."""

from __future__ import annotations

from circuitcheck.pipeline import parse
from circuitcheck.solver.operating import OperatingPoint
from tests.components.bench import TEST_OIL


def run(parts: str, lines: str, steps: str) -> list[OperatingPoint]:
    """Solve every step; nothing may be left open, and the history must settle."""
    text = f'circuit "bench"\noil {TEST_OIL}\nparts\n{parts}\nlines\n{lines}\ncycle\n{steps}\n'
    solution = parse(text).solve()
    assert not [f for f in solution.findings if f.slug == "steps-do-not-settle"]
    for point in solution:
        assert point.success, point.message
        assert point.power_error < 1e-6
    return list(solution)
