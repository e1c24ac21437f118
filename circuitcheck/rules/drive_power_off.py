"""Drive that takes another power than the circuit explains.

What is checked
    Readings of the power (or electrical power) of electric motors and engines: more than 15
    % from the computed one, and more than 5 % of the rated power.

Why it matters on the machine
    More: mechanical trouble, or pressure that nobody sees. Less: flow is missing.

What to do
    Read pressure and flow together at the pump.

Limits of this rule
    The efficiency of a motor at part load is taken as at rated load.

Source
    current draw as a test of pumps: trade guide; P = p Q
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import NotChecked, Number, Severity
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._read import read
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for reading in read(case, ("power", "electrical power"), *_fit.DRIVES):
        if isinstance(reading, NotChecked):
            yield reading
            continue
        off = abs(reading.value - reading.expected)
        small = case.limit("of_rated").value * (reading.part.figure("power") or 0.0)
        if off > max(case.limit("share").value * abs(reading.expected), small):
            yield case.finding(
                f"{reading.part.name} takes {case.power(reading.value)} in step {reading.step}, "
                f"the circuit explains {case.power(reading.expected)}",
                reading.part,
                step=reading.step,
                place=reading.claim.place,
                numbers=(Number("read", reading.value, "power"),),
            )


RULE = Rule("drive-power-off", Severity.ADVICE, check, Needs.NUMBERS)
