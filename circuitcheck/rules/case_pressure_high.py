"""Case of a pump or motor under too much pressure.

What is checked
    In every solved step: the pressure in every drained case, against the part's own case
    limit, else 2 bar; a warning from half of the limit.

Why it matters on the machine
    The seal lip cuts the shaft; slippers and pistons are pulled apart.

What to do
    A drain line of its own, larger and straight to the tank.

Limits of this rule
    At the oil temperature of the steps; cold oil is worse. Wear, which raises the drain
    flow, is not counted.

Source
    often 2 bar: education page on drains; less than 30 psi: trade article on case drains
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._drains import CASE
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    share = case.limit("warn_share").value
    for part in case.of_kind("pump", "motor"):
        if case.network.at(part.name, CASE) is None:
            continue
        limit = case.limit("most", part, "case limit")
        point = max(case.points, key=lambda p: p.parts[part.name].values["case pressure"])
        pressure = point.parts[part.name].values["case pressure"]
        if pressure <= share * limit.value:
            continue
        yield case.finding(
            f"case of {part.name} stands at {case.bar(pressure)} in step {point.step.name} "
            f"(limit {case.bar(limit.value)}, {limit.origin})",
            part,
            severity=Severity.ERROR if pressure > limit.value else Severity.WARNING,
            port=CASE,
            step=point.step.name,
            numbers=(
                Number("case pressure", pressure, "pressure"),
                Number("limit", limit.value, "pressure"),
            ),
        )


RULE = Rule("case-pressure-high", Severity.ERROR, check, Needs.NUMBERS)
