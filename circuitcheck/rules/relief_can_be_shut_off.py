"""Relief valve that can be cut off from what it protects.

What is checked
    For every pump and accumulator that has no always-open way to a tank through a relief
    valve: is there a relief valve beyond an element that can close (shut-off, directional
    valve, throttle, check against the flow), ahead of the relief or between it and the tank?
    Valves marked `locked open` count as open.

Why it matters on the machine
    The protection is lost at the very moment somebody isolates the line or a valve shifts.

What to do
    Move the relief to the pump's (or accumulator's) side of the element and run its outlet
    straight to tank, or lock the element open.

Limits of this rule
    Closed sections between two valves are not looked at, only pumps and accumulators. Quick
    couplings are not known as a kind of part.

Source
    ISO 4413:1998 clause 10.2, system protection (clause list read); common practice
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._guards import blocked_guard
from circuitcheck.rules._pumps import guards_of
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for part in case.of_kind("pump", "accumulator"):
        outlet = case.network.at(part.name, "P")
        if outlet is None or outlet in case.facts.always_drained or guards_of(case, outlet):
            continue
        blocked = blocked_guard(case, outlet)
        if blocked is None:
            continue
        yield case.finding(
            f"relief {blocked.relief.name} does not always protect {part.name}: "
            f"it is cut off with {blocked.state}",
            blocked.element,
            notes=(
                Note(f"{part.name} needs the relief", part.place),
                Note(f"{blocked.relief.name} stands here", blocked.relief.place),
            ),
        )


RULE = Rule("relief-can-be-shut-off", Severity.ERROR, check)
