"""Actuators that a step asks to move and that oil cannot reach or leave."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from circuitcheck.circuit.model import Step
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import (
    actuators,
    commanded,
    is_cylinder,
    moves,
    ordered_load,
    other_side,
    sides,
    weight,
)
from circuitcheck.rules._paths import Passage, State, in_state


@dataclass(frozen=True)
class Blocked:
    """An actuator in a step, the port at which oil is missing or shut in, and its junction."""

    part: Part
    state: State
    step: Step
    port: str
    junction: str | None


def without_supply(case: Case) -> Iterator[Blocked]:
    """Give actuators of which no chamber gets oil although the step asks them to move."""
    for part, state, step in _standing(case):
        supplied = case.facts.supplied(state)
        ports = sides(part)
        if any(case.network.at(part.name, port) in supplied for port in ports):
            continue
        if len(ports) == 1:
            if case.network.at(part.name, ports[0]) in case.facts.drained(state):
                continue  # lowers by its weight or spring
        elif ordered_load(case, part, step)[1] or (is_cylinder(part) and weight(case, part, step)):
            continue  # the load moves it; oil may follow from the tank
        yield Blocked(part, state, step, ports[0], case.network.at(part.name, ports[0]))


def without_return(case: Case) -> Iterator[Blocked]:
    """Give actuators of which a chamber gets oil while the other cannot empty."""
    for part, state, step in _standing(case):
        if len(sides(part)) == 1:
            continue
        supplied, drained = case.facts.supplied(state), case.facts.drained(state)
        at = {port: case.network.at(part.name, port) for port in sides(part)}
        fed = [port for port in at if at[port] in supplied]
        emptying = [other_side(part, port) for port in fed]
        if not fed or any(at[port] in drained for port in emptying):
            continue
        # a motor's outlet counts as supplied through the motor itself
        if is_cylinder(part) and any(at[port] in supplied for port in emptying):
            continue
        yield Blocked(part, state, step, emptying[0], at[emptying[0]])


def _standing(case: Case) -> Iterator[tuple[Part, State, Step]]:
    """Actuators that a step asks to move, but for those that the solved step sees moving."""
    for state in case.facts.steps:
        step = state.step
        if step is None:
            continue
        for part in actuators(case):
            if commanded(case, part, step) and not moves(case, part, step):
                yield part, state, step


def stoppers(case: Case, blocked: Blocked, backward: bool) -> list[Passage]:
    """Passages that are shut in the state and border on what the port can reach.

    ``backward``: on the way of oil to the port; else on its way out.
    """
    if blocked.junction is None:
        return []
    allowed = in_state(case.circuit, blocked.state)
    reached = case.network.reach([blocked.junction], allowed, backward)
    found = []
    for junction in reached.found:
        for passage in case.network.into[junction] if backward else case.network.out[junction]:
            there = passage.start if backward else passage.stop
            if there not in reached and passage.way not in (Way.SIGNAL, Way.RELIEF, Way.CROSS):
                found.append(passage)
    return found


def where(case: Case, blocked: Blocked, backward: bool) -> str:
    """Say what stops the oil."""
    names = list(dict.fromkeys(p.part for p in stoppers(case, blocked, backward)))
    if not names:
        return "nothing leads there" if blocked.junction else "the port is not joined"
    return f"blocked at {', '.join(names[:3])}"


def reversed_check(case: Case, blocked: Blocked, backward: bool) -> Part | None:
    """Give the one check that would let the oil pass if it were turned round, else None."""
    found: dict[str, Part] = {}
    for passage in stoppers(case, blocked, backward):
        if passage.way is not Way.AGAINST:
            continue
        good = (
            passage.start in case.facts.supplied(blocked.state)
            if backward
            else passage.stop in case.facts.drained(blocked.state)
        )
        # turned round it must not open a new way for pump oil to tank
        short = backward and passage.stop in case.facts.vented(blocked.state)
        if good and not short:
            found[passage.part] = case.circuit.parts[passage.part]
    return next(iter(found.values())) if len(found) == 1 else None
