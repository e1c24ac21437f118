"""Case flow that rises too much with the load.

What is checked
    Two readings of the case flow of one pump or motor, at pressures at least 50 bar apart:
    the rise against the one that the model gives, a warning where it is 1.25 times that or
    more.

Why it matters on the machine
    A leak that grows with pressure is wear, or a burst seal.

What to do
    Compare with its twin, if there is one; repeat warm.

Limits of this rule
    Both readings at the temperature of their steps or corrected to it.

Source
    25 % as go or no-go: fluid power safety article, part 1
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._read import Read, pairs, read
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    factor, apart = case.limit("factor").value, case.limit("pressure").value
    found = [r for r in read(case, ("case drain",), "pump", "motor") if isinstance(r, Read)]
    for one, other in pairs(found):
        low, high = sorted((one, other), key=lambda r: _pressure(r))
        if _pressure(high) - _pressure(low) < apart or low.value <= 0.0 or low.expected <= 0.0:
            continue
        oil = case.circuit.oil
        thin = float(oil.nu(high.degC)) / high.point.nu * low.point.nu / float(oil.nu(low.degC))
        rise, expected = high.value / low.value * thin, high.expected / low.expected
        if rise >= factor * max(expected, 1.0):
            yield case.finding(
                f"case flow of {high.part.name} rises {rise:.2f} times from "
                f"{case.bar(_pressure(low))} to {case.bar(_pressure(high))}; {expected:.2f} times "
                "is expected",
                high.part,
                step=high.step,
                place=high.claim.place,
                numbers=(Number("rise", rise, "ratio"), Number("expected", expected, "ratio")),
            )


def _pressure(reading: Read) -> float:
    ports = reading.point.parts[reading.part.name].ports.values()
    return max(port.pressure for port in ports)


RULE = Rule("case-flow-rises-with-load", Severity.WARNING, check, Needs.NUMBERS)
