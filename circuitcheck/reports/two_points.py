"""Steps with more than one operating point: which is given, and what the others are."""

from __future__ import annotations

from circuitcheck.basics.quantities import System, unit_label
from circuitcheck.reports.figures import bare
from circuitcheck.solver.operating import OperatingPoint, OtherPoint

TOLD = ("speed", "torque", "flow", "pressure")
"""Figures of a part that tell two points apart."""

STANDS = 1e-2
"""Speed below which a shaft stands [rad/s], as in the equations."""


def two_points_lines(point: OperatingPoint, units: System) -> list[str]:
    """Give a sentence or two for every further operating point of a step."""
    return [_told(point, other, units) for other in point.others]


def _told(point: OperatingPoint, other: OtherPoint, units: System) -> str:
    totals = other.point.totals
    high = max((state.pressure for state in other.point.junctions.values()), default=0.0)
    return (
        f"{other.part} has two operating points in this step. "
        f"Given is the one {other.given_start}: "
        f"{_figures(point, other.part, units)}; {_rest(other.given_stable)}. "
        f"The other, {other.start}: {_figures(other.point, other.part, units)}, "
        f"highest pressure {_told_figure(high, 'pressure', units)}, "
        f"{_told_figure(totals.input, 'power', units)} in; "
        f"{_rest(other.stable)}. "
        "Which of the two a machine comes to depends on what it did before."
    )


def _figures(point: OperatingPoint, name: str, units: System) -> str:
    state = point.parts[name]
    figures = [
        _told_figure(state.values[value], state.quantities[value], units)
        for value in TOLD
        if value in state.values
    ]
    return ", ".join(filter(None, (state.state, *figures)))


def _told_figure(value: float, quantity: str, units: System) -> str:
    if quantity == "rotation" and abs(value) < STANDS:
        return "standing"
    return f"{bare(value, quantity, units)} {unit_label(quantity, units)}"


def _rest(stable: bool) -> str:
    return "it comes back to it when disturbed" if stable else "the least push takes it away"
