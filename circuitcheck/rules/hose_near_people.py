"""Unguarded hose where people are.

What is checked
    Every hose 'near people' that is not 'guarded': pressure above 50 bar or oil above 60
    degC in any solved step.

Why it matters on the machine
    Jets, whipping ends, scalds.

What to do
    A guard, sleeve or whip restraint; tube where nothing moves.

Limits of this rule
    Only hoses that the text marks.

Source
    hoses restrained or shielded where failure is a hazard: university notes on safe design
    after ISO 4413; list of hose hazards, mine safety; 50 bar and 60 degC: common practice,
    no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    limit, warm = case.limit("pressure"), case.limit("oil")
    for line in case.of_kind("line"):
        if not line.says("near people") or not line.says("hose") or line.says("guarded"):
            continue
        point = max(case.points, key=lambda p: p.parts[line.name].values["pressure"])
        pressure = point.parts[line.name].values["pressure"]
        hottest = max(p.oil_degC for p in case.points)
        if pressure > limit.value or hottest > warm.value:
            yield case.finding(
                f"hose {line.name} at {case.bar(pressure)} and {case.show(hottest, 'temperature')} "
                "passes people without a guard: whip, jet and scald",
                line,
                step=point.step.name,
                numbers=(Number("pressure", pressure, "pressure"),),
            )


RULE = Rule("hose-near-people", Severity.ADVICE, check, Needs.NUMBERS)
