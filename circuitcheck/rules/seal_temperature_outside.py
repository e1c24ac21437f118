"""Oil hotter or colder than the seals stand.

What is checked
    In every step: the oil temperature against the continuous range of the seal material of
    each part that names it ('seals').

Why it matters on the machine
    Seals harden in the heat and leak at a cold start.

What to do
    A cooler, or seals of HNBR or FKM; for cold starts a grade for it.

Limits of this rule
    Ranges of one trade chart, other charts differ by 10 to 20 K; oil temperatures are those
    of the steps.

Source
    table of seal materials in the shared folder; seals lose elasticity at 82 degC: dealer's
    page
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    ranges = _fit.seal_ranges()
    steps = [
        (case.circuit.oil_degC if s.oil_degC is None else s.oil_degC, s.name)
        for s in case.circuit.steps
    ]
    steps = steps or [(case.circuit.oil_degC, "")]
    for part in case.circuit.parts.values():
        material = _fit.code(part, "seals")
        if not material:
            continue
        if material not in ranges:
            yield case.not_checked(part.name, f"range of temperature of {material} seals")
            continue
        low, high = ranges[material]
        for degC, step in (max(steps), min(steps)):
            if not low <= degC <= high:
                yield case.finding(
                    f"{material} seals of {part.name} stand {case.show(low, 'temperature')} to "
                    f"{case.show(high, 'temperature')}; the oil has "
                    f"{case.show(degC, 'temperature')}{f' in step {step}' if step else ''}",
                    part,
                    step=step,
                    numbers=(Number("oil", degC, "temperature"),),
                )
                break


RULE = Rule("seal-temperature-outside", Severity.WARNING, check)
