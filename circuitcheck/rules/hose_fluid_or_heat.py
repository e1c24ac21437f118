"""Hose too hot, too cold or bent too tightly.

What is checked
    Every hose: the oil temperature of all steps against its own range, else -40 to 100
    degC; and the radius to which it is bent against the least it stands, where both are
    given.

Why it matters on the machine
    A hot hose ages fast, a cold one cracks, a tightly bent one opens at the fitting.

What to do
    Another type of hose, or tube where nothing moves; a longer hose or an elbow for the
    bend.

Limits of this rule
    The heat of engines and furnaces near it is not known here.

Source
    factors of selection (pressure, temperature, fluid, bend): SAE J1273 (foreword and
    summary); range: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    degrees = [
        case.circuit.oil_degC if s.oil_degC is None else s.oil_degC for s in case.circuit.steps
    ]
    degrees = degrees or [case.circuit.oil_degC]
    for line in case.of_kind("line"):
        if not line.says("hose"):
            continue
        low, high = case.limit("coldest", line, "coldest"), case.limit("hottest", line, "hottest")
        worst = max(degrees) if max(degrees) > high.value else min(degrees)
        if not low.value <= worst <= high.value:
            origin = high.origin if worst > high.value else low.origin
            yield case.finding(
                f"hose {line.name} sees {case.show(worst, 'temperature')}; it stands "
                f"{case.show(low.value, 'temperature')} to {case.show(high.value, 'temperature')} "
                f"({origin})",
                line,
                numbers=(Number("oil", worst, "temperature"),),
            )
        bent, least = line.figure("bend radius"), line.figure("least radius")
        if bent is not None and least is not None and bent < least:
            yield case.finding(
                f"hose {line.name} is bent to {case.show(bent, 'length')}; "
                f"{case.show(least, 'length')} is the least it stands (limit from {line.name})",
                line,
                numbers=(Number("radius", bent, "length"), Number("least", least, "length")),
            )


RULE = Rule("hose-fluid-or-heat", Severity.WARNING, check)
