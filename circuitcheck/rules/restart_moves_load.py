"""Valve that stays where it was and moves something at restart.

What is checked
    Every valve with detents: in each position that it keeps without current or hand, other
    than rest, an actuator that it then feeds from a pump, and does not feed at rest. Clamps
    ('clamps at', or at their end in a step with the valve so) are left out: they are meant
    to stay.

Why it matters on the machine
    The machine moves as soon as the pump comes back.

What to do
    Spring return, or an interlock that lets the pump start in neutral only.

Limits of this rule
    Positions of all other valves at rest. Motors of fans and the like that may run are to
    be accepted.

Source
    ISO 14118, from memory; procedures against accidental start-up: Oregon rule 437-007-0725
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import (
    actuators,
    sides,
)
from circuitcheck.rules._paths import REST, Reach, State, stays
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    at_rest = case.facts.supplied(REST)
    for valve in case.of_kind("valve", "bank section"):
        for position in valve.positions:
            if position == valve.rest or not stays(valve, position):
                continue
            supplied = case.facts.supplied(
                State(f"{valve.name} at {position}", None, {valve.name: position})
            )
            moved = [
                part.name
                for part in actuators(case)
                if not _clamps(case, valve, position, part) and _fed(case, part, supplied, at_rest)
            ]
            if moved:
                yield case.finding(
                    f"after a stop {valve.name} stays at {position}; {' and '.join(moved)} "
                    f"{'move' if len(moved) > 1 else 'moves'} as soon as the pump runs",
                    valve,
                )
                break


def _clamps(case: Case, valve: Part, position: str, part: Part) -> bool:
    """Whether an actuator is there to hold: it says so, or a step keeps it at its end so."""
    return part.figure("clamps at") is not None or any(
        state.position(valve) == position and "at end stop" in state.orders(part.name).words
        for state in case.facts.steps
    )


def _fed(case: Case, part: Part, supplied: Reach, at_rest: Reach) -> bool:
    for port in sides(part):
        junction = case.network.at(part.name, port)
        if junction is not None and junction in supplied and junction not in at_rest:
            return True
    return False


RULE = Rule("restart-moves-load", Severity.WARNING, check)
