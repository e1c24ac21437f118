"""Precharge read that is not what was filled.

What is checked
    Readings of the precharge ('precharge warm') against the one given, carried to the
    temperature of the reading by the gas law (absolute pressures): more than 5 % apart.

Why it matters on the machine
    Gas is lost through the bladder or the valve: the gauge flicks, the pump cuts in too
    often.

What to do
    Refill with nitrogen only, on an empty oil side; look for the leak.

Limits of this rule
    Read with no oil in the accumulator. Ideal gas; the real one differs by less than the
    tolerance.

Source
    gas law; nitrogen only: common practice (oxygen explodes with oil)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import NotChecked, Number, Severity
from circuitcheck.basics.unit_table import ATMOSPHERE
from circuitcheck.rules._case import Case
from circuitcheck.rules._read import read
from circuitcheck.rules._rule import Needs, Outcome, Rule

ZERO = 273.15


def check(case: Case) -> Iterator[Outcome]:
    for reading in read(case, ("precharge warm",), "accumulator"):
        if isinstance(reading, NotChecked):
            yield reading
            continue
        filled = reading.part.figure("precharge")
        if filled is None:
            yield case.not_checked(reading.part.name, "precharge")
            continue
        cold = reading.part.figure("precharge temperature")
        warmth = (ZERO + reading.degC) / (ZERO + (FILLED if cold is None else cold))
        expected = (filled + ATMOSPHERE) * warmth - ATMOSPHERE
        if abs(reading.value - expected) > case.limit("share").value * expected:
            yield case.finding(
                f"precharge of {reading.part.name} reads {case.bar(reading.value)} at "
                f"{case.show(reading.degC, 'temperature')}, it should be {case.bar(expected)}",
                reading.part,
                place=reading.claim.place,
                numbers=(
                    Number("read", reading.value, "pressure"),
                    Number("expected", expected, "pressure"),
                ),
            )


FILLED = 20.0
"""Temperature of filling where nothing says it [degC]; common practice, no source."""


RULE = Rule("precharge-reading-off", Severity.WARNING, check, Needs.NUMBERS)
