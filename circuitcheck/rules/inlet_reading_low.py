"""Pump inlet read lower than it may be.

What is checked
    Readings of pressure at the inlet of a pump ('inlet pressure', or a gauge on its suction
    line): more than 0.05 bar under the computed one, or under what the pump needs (its
    'inlet limit', else 0.8 bar absolute, gear pumps 0.7).

Why it matters on the machine
    A blocked strainer, a valve half shut, cold oil, a plugged breather: the pump is being
    destroyed now.

What to do
    Breather open, oil level, strainer, valve; in that order.

Limits of this rule
    Gauges count where nothing but lines lies between them and the pump; height between
    gauge and port is left out.

Source
    order of checks: trade article on checking the easy things first; 0.8 bar absolute:
    general article on pump inlets
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.basics.unit_table import ATMOSPHERE
from circuitcheck.components.pump import construction
from circuitcheck.rules._case import Case
from circuitcheck.rules._read import Read, pressures_at, read
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for pump in case.of_kind("pump"):
        inlet = case.network.at(pump.name, "S")
        if inlet is None:
            continue
        at = [r for r in read(case, ("inlet pressure",), "pump") if isinstance(r, Read)]
        own = [r for r in at if r.part is pump]
        on_line = [r for r in pressures_at(case, frozenset({inlet})) if isinstance(r, Read)]
        needs = case.limit("gear" if construction(pump) == "gear" else "least", pump, "inlet limit")
        for reading in (*own, *on_line):
            under = reading.expected - reading.value > case.limit("apart").value
            if under or reading.value < needs.value:
                yield case.finding(
                    f"inlet of {pump.name} reads {case.bar(reading.value + ATMOSPHERE)} absolute "
                    f"in step {reading.step}, expected {case.bar(reading.expected + ATMOSPHERE)}, "
                    f"needs {case.bar(needs.value + ATMOSPHERE)} ({needs.origin})",
                    pump,
                    step=reading.step,
                    place=reading.claim.place,
                    numbers=(Number("read, absolute", reading.value + ATMOSPHERE, "pressure"),),
                )


RULE = Rule("inlet-reading-low", Severity.ERROR, check, Needs.NUMBERS)
