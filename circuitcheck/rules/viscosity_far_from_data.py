"""Viscosity read far outside what is known of the oil.

What is checked
    The oil temperature of every solved step, against the temperatures for which the text
    (or the viscosity grade, at 40 and 100 degC) gives the viscosity: a warning more than
    40 K outside.

Why it matters on the machine
    The line through two points is straight only on the paper of the standard; far outside,
    and near the pour point, oil is thicker than it says. Pressure drops and the inlet of the
    pump are then worse than computed.

What to do
    Give the viscosity at two temperatures that enclose the work: 1200 cSt at -10 degC,
    32 cSt at 40 degC.

Limits of this rule
    The coldest and the hottest step are reported. The pour point is not known.

Source
    ASTM D341; 40 K is common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.fluid.oil import REACH
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    oil = case.circuit.oil
    low, high = (case.show(degC, "temperature") for degC in oil.known_degC)
    known = low if low == high else f"{low} and {high}"
    for degC in dict.fromkeys(pick(p.oil_degC for p in case.points) for pick in (min, max)):
        if not oil.stretched(degC):
            continue
        point = next(p for p in case.points if p.oil_degC == degC)
        yield case.finding(
            f"in step {point.step.name} the viscosity of {oil.name}, "
            f"{case.show(point.nu, 'viscosity')} at {case.show(degC, 'temperature')}, is "
            f"carried on more than {case.show(REACH, 'temperature_difference')} beyond what "
            f"is known ({known})",
            step=point.step.name,
            numbers=(
                Number("oil temperature", degC, "temperature"),
                Number("viscosity", point.nu, "viscosity"),
            ),
        )


RULE = Rule("viscosity-far-from-data", Severity.WARNING, check, Needs.NUMBERS)
