"""Small circuits for the facts: a text from its chapters, solved."""

from __future__ import annotations

from circuitcheck.pipeline import parse
from circuitcheck.solver.operating import OperatingPoint, Solution

BAR, KN, KW = 1e5, 1e3, 1e3
L_MIN = 1e-3 / 60.0

OIL = "oil 32 cSt at 40 degC, 870 kg/m3, at 40 degC"


def solved(parts: str, lines: str, steps: str = "", oil: str = OIL) -> Solution:
    """Solve a circuit given by the sentences of its chapters; every step must be solved."""
    cycle = f"\ncycle\n{steps}\n" if steps else ""
    project = parse(
        f'circuit "A fact of the trade"\n{oil}\n\nparts\n{parts}\n\nlines\n{lines}\n{cycle}'
    )
    solution = project.solve()
    for point in solution:
        assert point.success, point.message
        assert point.power_error < 1e-6
    return solution


def only(parts: str, lines: str, steps: str = "", oil: str = OIL) -> OperatingPoint:
    """Solve a circuit of one step."""
    (point,) = solved(parts, lines, steps, oil)
    return point


def value(point: OperatingPoint, part: str, name: str) -> float:
    """A named figure of a part [SI]."""
    return point.parts[part].values[name]


def pressure(point: OperatingPoint, part: str, port: str) -> float:
    """Pressure at a port [Pa]."""
    return point.parts[part].ports[port].pressure
