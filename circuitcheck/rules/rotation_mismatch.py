"""Pump that its drive turns the wrong way.

What is checked
    Where both are given: the rotation of every pump, seen on its own shaft end, against
    that of its drive, seen on the drive's shaft end. The two ends face each other, so a
    clockwise pump needs an anticlockwise drive; pumps in a string all turn alike.

Why it matters on the machine
    The pump pushes oil into its suction line, and its shaft seal goes first.

What to do
    Take the pump of the other rotation, or swap two phases of the motor.

Limits of this rule
    Pumps that work both ways are left out; so is what stands behind a gearbox or belt, of
    which nothing says how it turns.

Source
    common practice, no source; rotation is given looking at the shaft end
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule

TURNED = {"clockwise": "anticlockwise", "anticlockwise": "clockwise"}


def check(case: Case) -> Iterator[Outcome]:
    for pump in case.of_kind("pump"):
        before, own = _fit.driver(case, pump), pump.choices.get("rotation")
        other = None if before is None else before.choices.get("rotation")
        if before is None or own is None or other is None or pump.says("both ways"):
            continue
        right = other if before.kind.word == "pump" else TURNED[other]
        if own != right:
            yield case.finding(
                f"{pump.name} is {own}, {before.name} turns it {right} (each seen on its own "
                "shaft end)",
                pump,
                notes=(Note(f"{before.name} turns {other}", before.place),),
            )


RULE = Rule("rotation-mismatch", Severity.ERROR, check)
