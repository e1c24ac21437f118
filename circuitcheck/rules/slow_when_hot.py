"""Actuator that slows down too much as the oil warms.

What is checked
    Two readings of the time or speed of one actuator in one step, at oil temperatures at
    least 10 K apart: hot against cold, more than 5 % slower than the slip of the pumps that
    run in the step explains (slip in proportion to 1 / viscosity).

Why it matters on the machine
    Worn gaps leak in proportion to 1 / viscosity; orifices do not care.

What to do
    Measure the case flow; then isolate valve, cylinder and pump.

Limits of this rule
    Slip of valves and seals is not in the expected ratio; on a pump that is held by its
    control nothing slows.

Source
    laminar leakage law, textbook; cold oil hides wear: trade article
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._pumps import (
    theoretical_flow,
)
from circuitcheck.rules._read import Read, pairs, read
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    apart, share = case.limit("apart").value, case.limit("share").value
    found = [r for r in read(case, ("time", "speed")) if isinstance(r, Read)]
    for one, other in pairs(found):
        cold, hot = sorted((one, other), key=lambda r: r.degC)
        if (
            cold.step != hot.step
            or hot.degC - cold.degC < apart
            or min(cold.value, hot.value) <= 0.0
        ):
            continue
        slower = hot.value / cold.value
        if hot.claim.what == "speed":
            slower = 1.0 / slower
        expected = _expected(case, cold, hot)
        if slower > expected + share:
            yield case.finding(
                f"{hot.part.name} is {100 * (slower - 1):.0f} % slower at "
                f"{case.show(hot.degC, 'temperature')} than at "
                f"{case.show(cold.degC, 'temperature')} in step {hot.step}; the pump explains "
                f"{100 * (expected - 1):.0f} %",
                hot.part,
                step=hot.step,
                place=hot.claim.place,
                numbers=(Number("slower", slower - 1.0, "share"),),
            )


def _expected(case: Case, cold: Read, hot: Read) -> float:
    """Flow of all pumps cold over hot, each slipping in proportion to 1 / viscosity."""
    flows = [0.0, 0.0]
    for pump in case.of_kind("pump"):
        values = hot.point.parts[pump.name].values
        full = theoretical_flow(case, pump)
        if full is None:
            continue
        moved = full * values["stroke"]
        slip = max(moved - values["flow"], 0.0)
        for i, degC in enumerate((cold.degC, hot.degC)):
            flows[i] += moved - slip * hot.point.nu / float(case.circuit.oil.nu(degC))
    return flows[0] / flows[1] if flows[1] > 0.0 else 1.0


RULE = Rule("slow-when-hot", Severity.WARNING, check, Needs.NUMBERS)
