"""Case pressure read higher than it may be.

What is checked
    Readings of the case pressure of pumps and motors: over the limit of the unit (its 'case
    limit', else 2 bar), or more than 0.5 bar over the computed one.

Why it matters on the machine
    The drain is pinched, filtered or shared; the shaft seal goes next.

What to do
    Measure at the tank end of the drain as well; give the drain a line of its own.

Limits of this rule
    At the temperature of the step; a cold start reads higher by right.

Source
    trade article on case drains; often 2 bar: education page
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import NotChecked, Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._read import read
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for reading in read(case, ("case pressure",), "pump", "motor"):
        if isinstance(reading, NotChecked):
            yield reading
            continue
        limit = case.limit("most", reading.part, "case limit")
        over = reading.value > limit.value
        if over or reading.value - reading.expected > case.limit("apart").value:
            yield case.finding(
                f"case of {reading.part.name} reads {case.bar(reading.value)} in step "
                f"{reading.step}, expected {case.bar(reading.expected)}, limit "
                f"{case.bar(limit.value)} ({limit.origin})",
                reading.part,
                severity=Severity.ERROR if over else Severity.WARNING,
                step=reading.step,
                place=reading.claim.place,
                numbers=(Number("read", reading.value, "pressure"),),
            )


RULE = Rule("case-pressure-reading-high", Severity.ERROR, check, Needs.NUMBERS)
