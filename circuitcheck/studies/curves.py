"""Which curves a circuit has, and how each is made, by the words people ask for."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from circuitcheck.circuit.model import Circuit, Orders
from circuitcheck.solver.operating import Solution
from circuitcheck.studies import day_curves
from circuitcheck.studies.chart import Chart, Field, NoCurveError
from circuitcheck.studies.duty import Duty
from circuitcheck.studies.efficiency_map import efficiency_map
from circuitcheck.studies.part_curves import drop_chart, speed_chart
from circuitcheck.studies.pump_curves import pump_chart

OF_PARTS = ("pump", "drop", "speed", "efficiency")
OF_CYCLE = ("power", "energy", "heat", "warming")

NOT_DROPS = ("tank", "gauge", "accumulator", "test point", "thermometer", "pressure switch")
"""Kinds through which nothing flows that has a drop."""


def curves(
    solution: Solution, what: str, name: str, step: str, way: str, duty: Callable[[], Duty]
) -> Chart | Field | Duty:
    """Make the curve asked for; the energy flows are the duty cycle itself.

    Raises
    ------
    NoCurveError
        If there is no such curve, or it cannot be made.
    """
    if what not in (*OF_PARTS, *OF_CYCLE):
        known = ", ".join((*OF_PARTS, *OF_CYCLE))
        raise NoCurveError(f"there are no curves '{what}'; there are: {known}")
    if what in OF_PARTS and not name:
        raise NoCurveError(f"{what} of which part? Write, for example:  {what} P1")
    if what in OF_CYCLE and name:
        raise NoCurveError(f"{what} is that of the whole cycle; leave {name} out")
    if what == "pump":
        return pump_chart(solution, name)
    if what == "drop":
        return drop_chart(solution, name, way)
    if what == "speed":
        return speed_chart(solution, name, step)
    if what == "efficiency":
        return efficiency_map(solution, name)
    made = duty()
    if what == "energy":
        return made
    chart: Callable[[Duty], Chart] = getattr(day_curves, f"{what}_chart")
    return chart(made)


def curve_names(circuit: Circuit) -> Iterator[str]:
    """Give the words that ask for each curve of a circuit: "pump P1", "drop V1"."""
    for part in circuit.parts.values():
        measures = {measure.name for measure in part.kind.measures}
        if part.kind.word == "pump":
            yield f"pump {part.name}"
        if part.kind.word in ("pump", "motor"):
            yield f"efficiency {part.name}"
        if any("load" in s.orders.get(part.name, Orders()).figures for s in circuit.steps):
            yield f"speed {part.name}"
        drops = len(part.ports) > 1 and "speed" not in measures
        if drops and part.kind.word not in NOT_DROPS:
            yield f"drop {part.name}"
    if circuit.steps:
        yield from OF_CYCLE
