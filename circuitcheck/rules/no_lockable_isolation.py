"""Source of energy that cannot be locked off.

What is checked
    Where the text says of anything that people reach it ('near people', 'people below') or
    that something can be locked: every drive, and the way out of every accumulator, has a
    disconnect or shut-off that is 'lockable'.

Why it matters on the machine
    The machine starts while somebody is inside it.

What to do
    A disconnect that takes a padlock; a shut-off with a lock at the accumulator.

Limits of this rule
    Texts that speak neither of people nor of locks are left alone.

Source
    29 CFR 1910.147, from memory; locks must be durable, tags say do not start: Oregon rule
    437-007-0725
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule

SAID = ("near people", "people below", "lockable")


def check(case: Case) -> Iterator[Outcome]:
    drives, stores = case.of_kind(*_fit.DRIVES), case.of_kind("accumulator")
    if not any(part.says(word) for part in case.circuit.parts.values() for word in SAID):
        return
    for drive in drives:
        if not drive.says("lockable"):
            yield case.finding(f"{drive.name} cannot be locked off for service", drive)
    for store in stores:
        junction = case.network.at(store.name, "P")
        region = case.facts.region(junction).found if junction is not None else {}
        valves = [
            case.circuit.parts[end.part]
            for name in region
            for end in case.circuit.neighbours(name)
            if case.circuit.parts[end.part].kind.word == "shut-off"
        ]
        if not any(valve.says("lockable") for valve in valves):
            yield case.finding(f"{store.name} cannot be locked off for service", store)


RULE = Rule("no-lockable-isolation", Severity.WARNING, check)
