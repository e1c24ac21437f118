"""One valve alone holds a load over people.

What is checked
    Every cylinder with 'people below' and a load that hangs on it: two seat-tight holding
    valves in a row, or a second means.

Why it matters on the machine
    One grain of dirt under one seat, and the load comes down on somebody.

What to do
    A mechanical prop, pin or lock; or redundant valves to the performance level that the
    risk assessment asks for.

Limits of this rule
    Props and locks are not known to the language: accept the finding with the prop as the
    reason.

Source
    never work near a load held by hydraulic pressure alone: open training page on hydraulic
    safety; ISO 13849-1, from memory
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import (
    cylinders,
    load_side,
)
from circuitcheck.rules._rule import Outcome, Rule

HOLDING = ("counterbalance", "pilot check", "double pilot check", "brake valve", "burst valve")


def check(case: Case) -> Iterator[Outcome]:
    for cylinder in cylinders(case):
        port = load_side(case, cylinder)
        junction = case.network.at(cylinder.name, port) if port else None
        if not cylinder.says("people below") or junction is None:
            continue
        first = _holding(case, junction)
        second = [v for valve, behind in first if behind for v, _ in _holding(case, behind)]
        if len(first) >= 1 and second:
            continue
        names = " and ".join(valve.name for valve, _ in first) or "no seat-tight valve"
        yield case.finding(
            f"{names} alone holds {cylinder.name} over people: a prop or a second means is needed",
            cylinder,
            port=port,
        )


def _holding(case: Case, junction: str) -> list[tuple[Part, str]]:
    """Holding valves on the oil of a junction, each with the junction behind it."""
    found: dict[str, tuple[Part, str]] = {}
    for name in case.facts.region(junction).found:
        for passage in case.network.out[name]:
            part = case.circuit.parts[passage.part]
            seated = passage.way in (Way.PILOTED, Way.SETTING, Way.AGAINST)
            if part.kind.word in HOLDING and seated:
                found[part.name] = (part, passage.stop)
    return list(found.values())


RULE = Rule("holding-valve-single", Severity.ADVICE, check)
