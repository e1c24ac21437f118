"""Valve that does not say how it comes to rest.

What is checked
    Every directional valve says what works it and what brings it back: spring, spring
    centring or detent. Proportional and servo valves centre by themselves.

Why it matters on the machine
    What happens when the power fails is judged from the rest position; so does the
    mechanic.

What to do
    Write how it is worked and how it comes back: solenoids a and b, spring centred.

Limits of this rule
    A valve that says nothing is taken to spring back.

Source
    symbols are drawn at rest: ISO 1219, from memory
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule

BACK = (
    "spring centred",
    "spring return",
    "detent",
    "detent a",
    "detent b",
    "proportional",
    "servo",
)


def check(case: Case) -> Iterator[Outcome]:
    for valve in case.of_kind("valve"):
        if any(valve.says(word) for word in BACK):
            continue
        if valve.says("pilot operated") or valve.says("roller") or valve.says("push button"):
            continue  # these come back by themselves
        yield case.finding(
            f"{valve.name}: which position holds with nothing energised? neither spring nor detent "
            f"is said; {valve.rest} is assumed",
            valve,
        )


RULE = Rule("rest-state-missing", Severity.WARNING, check)
