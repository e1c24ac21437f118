"""Metric and inch units of one quantity side by side.

What is checked
    The pressures, flows, powers and volumes that the parts of the circuit's own file give:
    all in metric or all in inch units.

Why it matters on the machine
    Factors of 14.5 and 3.8 are lost in a glance.

What to do
    One unit for each quantity; sizes of hoses and flanges may stay in inches.

Limits of this rule
    Lengths, displacements and what stands in catalogues or blocks is left out; the
    computation itself is safe, as every figure carries its unit.

Source
    one unit per quantity: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule

INCH = ("psi", "ksi", "psig", "gpm", "USgpm", "impgpm", "hp", "gal", "USgal", "impgal", "inHg")
ASKED = ("pressure", "flow", "power", "volume")


def check(case: Case) -> Iterator[Outcome]:
    for quantity in ASKED:
        found: dict[bool, tuple[Part, str]] = {}
        for part in case.circuit.parts.values():
            for figure in part.figures.values():
                unit = figure.text.split()[-1] if figure.text else ""
                own = figure.origin != "assumed" and figure.place.file == case.circuit.file
                if figure.quantity == quantity and own and not unit.replace(".", "").isdigit():
                    found.setdefault(unit.startswith(INCH), (part, figure.text))
        if len(found) == 2:
            (part, text), (other, said) = found[True], found[False]
            yield case.finding(
                f"{quantity} of {part.name} is given as {text}, that of {other.name} as {said}",
                part,
                notes=(Note(f"{other.name} stands here", other.place),),
            )


RULE = Rule("units-mixed", Severity.WARNING, check)
