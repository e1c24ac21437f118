"""Volumes that stay under pressure after stop.

What is checked
    With the drive off and all valves at rest: every cylinder chamber, motor port and
    accumulator whose oil cannot run off to a tank, and whose pressure (of its weight, else
    the highest of any solved step) is above the limit. All are listed in one finding, with
    what releases them.

Why it matters on the machine
    People open fittings in the belief that off means empty.

What to do
    Give each a bleed valve and a gauge, and put the list into the lock-out sheet. Lower or
    prop loads first.

Limits of this rule
    Valves are taken as sound; a stuck one can keep more. Leakage, which lets pressures fall
    in time, is left out. The energy of the oil is p2 V / (2 K) of the chambers alone.

Source
    stored energy must be relieved or restrained: 29 CFR 1910.147 (from memory), Oregon rule
    437-007-0725; an injury from an unverified zero-energy state: fluid power safety alert
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule
from circuitcheck.rules._stored import volumes

MOST_NAMED = 6
"""Volumes that the message itself names; the notes have them all."""

WORTH_SAYING = 0.1
"""Energy from which the message gives a figure [J]; own choice."""


def check(case: Case) -> Iterator[Outcome]:
    held = list(volumes(case, case.limit("pressure").value))
    if not held:
        return
    named = [f"{v.place} {case.bar(v.pressure)} (let go by {v.released})" for v in held]
    more = f" and {len(named) - MOST_NAMED} more" if len(named) > MOST_NAMED else ""
    energy = sum(v.energy for v in held)
    whole = f"; together up to {case.show(energy, 'energy')}" if energy >= WORTH_SAYING else ""
    yield case.finding(
        f"after stop these stay under pressure: {'; '.join(named[:MOST_NAMED])}{more}{whole}",
        numbers=tuple(Number(f"pressure of {v.place}", v.pressure, "pressure") for v in held)
        + (Number("stored energy", energy, "energy"),),
        notes=tuple(Note(text, v.part.place) for text, v in zip(named, held, strict=True)),
    )


RULE = Rule("stored-energy-after-stop", Severity.WARNING, check, explains=("no-zero-energy-proof",))
