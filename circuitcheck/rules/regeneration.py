"""Rules on regeneration: rod oil that joins the feed of the cap side."""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.circuit.model import Step
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import commanded, cylinders, moves, ordered_load, sides
from circuitcheck.rules._rule import Needs, Outcome, Rule


def regen_force_short(case: Case) -> Iterator[Outcome]:
    """Regeneration that cannot carry its load.

    What is checked
        In every solved step in which both sides of a cylinder are fed (rod oil joins the cap
        line) and it is asked to move: does it stand?

    Why it matters on the machine
        In regeneration only the area of the rod counts.

    What to do
        Leave regeneration under load: let the rod side go to tank.

    Limits of this rule
        By the solved step; the force is that of the highest pressure on the rod's area, with
        the cylinder's efficiency.

    Source
        trade article on regenerative circuits
    """
    for cylinder, step in _regenerating(case):
        point = case.point(step.name)
        if point is None or moves(case, cylinder, step) is not False:
            continue
        if not commanded(case, cylinder, step):
            continue
        pressure = point.parts[cylinder.name].ports["cap"].pressure
        rod = math.pi / 4.0 * (cylinder.figure("rod") or 0.0) ** 2
        force = pressure * rod * (cylinder.figure("efficiency") or 1.0)
        needed = ordered_load(case, cylinder, step)[0]
        if needed > force:
            yield case.finding(
                f"in regeneration {cylinder.name} has {case.show(force, 'force')} "
                f"({case.bar(pressure)} on the area of the rod) in step {step.name}; the load "
                f"needs {case.show(needed, 'force')}",
                cylinder,
                step=step.name,
                numbers=(Number("force", force, "force"), Number("load", needed, "force")),
            )


def regen_flow_forgotten(case: Case) -> Iterator[Outcome]:
    """Line too narrow for the joined flow of regeneration.

    What is checked
        In every solved step in which rod oil joins the cap line: the oil speed in the lines at
        the cap port, against 6 m/s.

    Why it matters on the machine
        Rod oil adds to pump oil: the cap line carries far more than the pump gives.

    What to do
        Size the way to the cap side for the sum of both.

    Limits of this rule
        Valves on the way are judged by valve-over-flow.

    Source
        the exhaust joins the feed: trade article on regenerative circuits; 6 m/s common
        practice, no source
    """
    most = case.limit("most")
    for cylinder, step in _regenerating(case):
        point, junction = case.point(step.name), case.network.at(cylinder.name, "cap")
        if point is None or junction is None or not moves(case, cylinder, step):
            continue
        for end in case.circuit.neighbours(junction):
            line = case.circuit.parts[end.part]
            if line.kind.word != "line":
                continue
            values = point.parts[line.name].values
            if values["speed"] > most.value:
                yield case.finding(
                    f"in regeneration {line.name} carries {case.flow(abs(values['flow']))} at "
                    f"{case.oil_speed(values['speed'])} in step {step.name} ({most.origin})",
                    line,
                    step=step.name,
                    numbers=(Number("speed", values["speed"], "speed"),),
                )


def _regenerating(case: Case) -> Iterator[tuple[Part, Step]]:
    """Cylinders whose both sides are joined by open ways in a step, with the step."""
    for state in case.facts.steps:
        if state.step is None:
            continue
        supplied, vented = case.facts.supplied(state), case.facts.vented(state)
        for cylinder in cylinders(case):
            if len(sides(cylinder)) != 2:
                continue
            cap, rod = (case.network.at(cylinder.name, port) for port in ("cap", "rod"))
            if cap in supplied and rod in supplied and rod not in vented:
                yield cylinder, state.step


RULES = (
    Rule("regen-force-short", Severity.ERROR, regen_force_short, Needs.NUMBERS),
    Rule("regen-flow-forgotten", Severity.WARNING, regen_flow_forgotten, Needs.NUMBERS),
)
