"""Surfaces that burn.

What is checked
    The oil temperature of every step, and what a thermometer shows in it, above 60 degC:
    tank, pump and lines are then too hot to touch.

Why it matters on the machine
    Burns; and a sign of loss.

What to do
    Guard or insulate what people can touch; cure the loss.

Limits of this rule
    The surface is taken to be as warm as the oil; behind a valve that throttles it is
    warmer.

Source
    hot oil burns: mine-safety hose precautions; scald from about 48 degC held: trade safety
    page; 60 degC: common practice, no source
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    limit = case.limit("above")
    found = [(p.oil_degC, "the oil", p.step.name) for p in case.points]
    for thermometer in case.of_kind("thermometer"):
        for point in case.points:
            shown = point.parts[thermometer.name].values.get("temperature", math.nan)
            if not math.isnan(shown):
                found.append((shown, thermometer.name, point.step.name))
    hottest, name, step = max(found)
    if hottest > limit.value:
        yield case.finding(
            f"{name} reaches {case.show(hottest, 'temperature')} in step {step}: tank and lines "
            f"burn the skin (limit {case.show(limit.value, 'temperature')}, {limit.origin})",
            step=step,
            numbers=(Number("oil", hottest, "temperature"),),
        )


RULE = Rule("hot-surface-warning", Severity.ADVICE, check, Needs.NUMBERS)
