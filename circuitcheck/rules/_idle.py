"""Steps in which nothing is asked of the circuit, and the totals of a cycle."""

from __future__ import annotations

from circuitcheck.circuit.model import Step
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import STILL, actuators, commanded
from circuitcheck.rules._paths import State


def is_idle(case: Case, step: Step) -> bool:
    """Whether all valves stand at rest in a step and no actuator is asked to move."""
    state = State(step.name, step)
    at_rest = all(
        state.position(part) == part.rest for part in case.circuit.parts.values() if part.positions
    )
    return at_rest and not any(commanded(case, part, step) for part in actuators(case))


def presses(case: Case, step: Step) -> bool:
    """Whether a step holds an actuator against its end or its load on purpose."""
    return any(word in orders.words for orders in step.orders.values() for word in STILL)


def cycle_time(case: Case) -> float | None:
    """Duration of the cycle [s]; None where a step has none or was not solved."""
    times = [point.duration for point in case.points]
    known = [time for time in times if time is not None]
    if len(known) < len(case.circuit.steps) or not known:
        return None
    return sum(known)
