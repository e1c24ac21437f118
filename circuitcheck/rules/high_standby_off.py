"""Stall pressure read that differs from the one expected.

What is checked
    Readings of the outlet pressure of pumps with a pressure control, in steps that hold
    something at its end: more than 5 bar or 3 % from the computed one, whichever is more.

Why it matters on the machine
    Low: the cut-off is low, a relief or LS relief opens before it, or the pump is worn.
    High: somebody wound it up.

What to do
    Feel or measure the outlet of the relief first; then block the pump. Only then touch the
    screw.

Limits of this rule
    Gauges count where nothing but lines and filters lies between them and the pump.

Source
    US Army technical manuals on load-sensing pumps (single pages); trade article on common
    mistakes
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import NotChecked, Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._idle import presses
from circuitcheck.rules._pumps import (
    is_controlled,
)
from circuitcheck.rules._read import pressures_at
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for pump in case.of_kind("pump"):
        outlet = case.network.at(pump.name, "P")
        if outlet is None or not is_controlled(pump):
            continue
        region = frozenset(case.facts.region(outlet).found)
        for reading in pressures_at(case, region):
            if isinstance(reading, NotChecked):
                yield reading
                continue
            if not presses(case, reading.point.step):
                continue
            most = max(case.limit("pressure").value, case.limit("share").value * reading.expected)
            if abs(reading.value - reading.expected) > most:
                yield case.finding(
                    f"stall pressure in step {reading.step} reads {case.bar(reading.value)}, "
                    f"expected {case.bar(reading.expected)}",
                    pump,
                    step=reading.step,
                    place=reading.claim.place,
                    numbers=(
                        Number("read", reading.value, "pressure"),
                        Number("expected", reading.expected, "pressure"),
                    ),
                )


RULE = Rule("high-standby-off", Severity.WARNING, check, Needs.NUMBERS)
