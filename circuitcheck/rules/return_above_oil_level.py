"""Return line that ends above the oil.

What is checked
    Lines that lead to a tank and of which the text says that they end above the oil, and that
    carry oil in some solved step.

Why it matters on the machine
    Oil that falls into oil beats air into it: noise, spongy motion, hot bubbles, and pumps that
    wear.

What to do
    Let it end below the least level, at least one and a half bores above the floor, cut at
    45 degrees, away from the suction and behind the baffle.

Limits of this rule
    The text must say 'ends above the oil' of the line; heights in the tank are not known.

Source
    return below the oil level, baffle between return and suction: technician's handbook,
    open page on reservoirs
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    tanks = {tank.name for tank in case.of_kind("tank")}
    for run in case.circuit.runs:
        line = case.circuit.parts.get(run.part or "")
        if line is None or not line.says("ends above the oil"):
            continue
        tank = next((end.part for end in (*run.stops, *run.starts) if end.part in tanks), "")
        flow = max((abs(p.parts[line.name].values["flow"]) for p in case.points), default=0.0)
        if tank and flow > case.limit("flow").value:
            yield case.finding(
                f"line {line.name} ends above the oil of {tank} and lets "
                f"{case.flow(flow)} fall into it",
                line,
                numbers=(Number("flow", flow, "flow"),),
            )


RULE = Rule("return-above-oil-level", Severity.ADVICE, check, Needs.NUMBERS)
