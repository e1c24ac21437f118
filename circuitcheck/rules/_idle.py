"""Steps in which nothing is asked of the circuit, and the totals of a cycle."""

from __future__ import annotations

from circuitcheck.circuit.model import Step
from circuitcheck.components._parts import Part
from circuitcheck.components._pump_controls import is_loop
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import STILL, actuators, commanded, cylinders, sides
from circuitcheck.rules._once import once
from circuitcheck.rules._paths import State


@once
def is_idle(case: Case, step: Step) -> bool:
    """Whether a step asks nothing of an actuator.

    Either no actuator gets oil at all, or all valves stand at rest and none that is asked
    to move gets oil (a load that comes down by its weight asks nothing of the pump).
    """
    if any(_strokes(case, pump, step) for pump in case.of_kind("pump")):
        return False
    state = State(f"step {step.name}", step)
    supplied = case.facts.supplied(state)
    fed = [
        part
        for part in actuators(case)
        if any(case.network.at(part.name, port) in supplied for port in sides(part))
    ]
    at_rest = all(
        state.position(part) == part.rest for part in case.circuit.parts.values() if part.positions
    )
    return not fed or (at_rest and not any(commanded(case, part, step) for part in fed))


def _strokes(case: Case, pump: Part, step: Step) -> bool:
    """Whether a step strokes the pump of a closed loop: that is its way to ask for motion."""
    stroke = case.orders(step, pump.name).figures.get("at")
    return is_loop(pump) and stroke is not None and stroke.value != 0.0


def presses(case: Case, step: Step) -> bool:
    """Whether a step holds an actuator against its end or its load on purpose.

    So does one in which a rod stands at its end by the ways of the steps before.
    """
    if any(word in orders.words for orders in step.orders.values() for word in STILL):
        return True
    point = case.point(step.name)
    return point is not None and any(
        point.parts[part.name].state == "at end stop" for part in cylinders(case)
    )


def cycle_time(case: Case) -> float | None:
    """Duration of the cycle [s]; None where a step has none or was not solved."""
    times = [point.duration for point in case.points]
    known = [time for time in times if time is not None]
    if len(known) < len(case.circuit.steps) or not known:
        return None
    return sum(known)
