"""Load-sensing margin read that differs from the setting.

What is checked
    Readings of the margin of load-sensing pumps in steps in which something moves and the
    pump is not on full stroke: more than 2 bar from the computed one.

Why it matters on the machine
    Low: the pump is saturated, the line loses too much, or its control leaks. High:
    somebody turned the screw.

What to do
    Check the flow asked for, then the drop of the line, and the screw last.

Limits of this rule
    In a saturated step the margin is lost by right: see pump-saturated.

Source
    US Army technical manuals on load-sensing pumps (single pages); textbook on mobile
    hydraulics; trade article on adjusting
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import NotChecked, Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._idle import is_idle
from circuitcheck.rules._read import read
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for reading in read(case, ("margin",), "pump"):
        if isinstance(reading, NotChecked):
            yield reading
            continue
        stroke = reading.point.parts[reading.part.name].values["stroke"]
        if is_idle(case, reading.point.step) or stroke > FULL:
            continue
        if abs(reading.value - reading.expected) > case.limit("pressure").value:
            set_to = reading.part.figure("margin") or 0.0
            yield case.finding(
                f"margin of {reading.part.name} in step {reading.step} reads "
                f"{case.bar(reading.value)}, expected {case.bar(reading.expected)} (set "
                f"{case.bar(set_to)})",
                reading.part,
                step=reading.step,
                place=reading.claim.place,
                numbers=(Number("read", reading.value, "pressure"),),
            )


FULL = 0.98
"""Share of stroke from which a pump is taken as saturated; own choice."""


RULE = Rule("margin-off", Severity.WARNING, check, Needs.NUMBERS)
