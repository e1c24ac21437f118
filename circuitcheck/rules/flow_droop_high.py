"""Pump flow that falls too much with pressure.

What is checked
    Two readings of the flow of one pump on full stroke, at pressures at least 50 bar apart:
    the fall as a share of the flow at low pressure, a warning 10 points over the model, an
    error from 20 points.

Why it matters on the machine
    An internal leak in the pump, or in whatever sits between it and the meter.

What to do
    Put the meter right at the pump and block off relief and valves one by one.

Limits of this rule
    Both readings at one speed; cold readings hide the leak.

Source
    20 % in two public service manuals (makers withheld); circuit tester: US Army FM 5-499
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._read import Read, pairs, read
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    warn, error = case.limit("points").value, case.limit("error").value
    apart = case.limit("pressure").value
    found = [r for r in read(case, ("flow",), "pump") if isinstance(r, Read) and _full(r)]
    for one, other in pairs(found):
        low, high = sorted((one, other), key=lambda r: _values(r)["pressure"])
        rise = _values(high)["pressure"] - _values(low)["pressure"]
        if rise < apart or low.value <= 0.0 or low.expected <= 0.0:
            continue
        droop, model = 1.0 - high.value / low.value, 1.0 - high.expected / low.expected
        if droop - model > warn:
            yield case.finding(
                f"{high.part.name} loses {100 * droop:.0f} % of its flow from "
                f"{case.bar(_values(low)['pressure'])} to {case.bar(_values(high)['pressure'])}; "
                f"{100 * model:.0f} % is expected",
                high.part,
                severity=Severity.ERROR if droop - model > error else Severity.WARNING,
                step=high.step,
                place=high.claim.place,
                numbers=(Number("droop", droop, "share"), Number("expected", model, "share")),
            )


def _values(reading: Read) -> dict[str, float]:
    return reading.point.parts[reading.part.name].values


def _full(reading: Read) -> bool:
    return _values(reading)["stroke"] > 0.99


RULE = Rule("flow-droop-high", Severity.WARNING, check, Needs.NUMBERS)
