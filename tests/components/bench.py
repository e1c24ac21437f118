"""A bench for single parts: tanks under gas are pressure sources without loss."""

from __future__ import annotations

from circuitcheck.pipeline import parse
from circuitcheck.solver.operating import OperatingPoint

BAR, L_MIN = 1e5, 1e-3 / 60
TEST_OIL = "32 cSt at 50 degC, 870 kg/m3"


def bench(parts: str, lines: str, step: str = "", oil: str = TEST_OIL) -> OperatingPoint:
    """Solve a circuit of one step; ``step`` is what the step says of the parts."""
    cycle = f"\ncycle\n  step test, {step}\n" if step else ""
    text = f'circuit "bench"\noil {oil}\nparts\n{parts}\nlines\n{lines}\n{cycle}'
    (point,) = parse(text).solve()
    assert point.success, point.message
    return point


def sources(**pressures: float) -> str:
    """Give tanks by name, each under a gas pressure [bar]."""
    return "\n".join(f"{name} tank, 100 L, gas {bar!r} bar" for name, bar in pressures.items())


def flow(point: OperatingPoint, part: str, port: str) -> float:
    """Flow into a part at a port [L/min]."""
    return point[part].ports[port].flow / L_MIN


def bar(point: OperatingPoint, part: str, port: str) -> float:
    """Pressure at a port [bar]."""
    return point[part].ports[port].pressure / BAR
