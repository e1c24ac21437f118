"""Seals that do not stand the fluid.

What is checked
    The material of the seals of every part ('seals') against the family of the fluid: an
    error where the family's table names it unfit, a warning where it names it neither fit
    nor unfit.

Why it matters on the machine
    Seals swell or harden, and then leak outward.

What to do
    Order the seal set for the fluid.

Limits of this rule
    The grade of a rubber decides in the end: the data sheet of the seal wins.

Source
    EPDM pairs: trade page on valves; others from memory; ISO 6743-4 for the classes of
    fluids, from memory
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    fluid = case.circuit.oil.fluid
    named: dict[str, list[Part]] = {}
    for part in case.circuit.parts.values():
        material = _fit.code(part, "seals")
        if material and material not in fluid.seals.fit:
            named.setdefault(material, []).append(part)
    for material, parts in named.items():
        unfit = material in fluid.seals.unfit
        names = ", ".join(part.name for part in parts)
        does = "do not stand" if unfit else "are not known to stand"
        yield case.finding(
            f"{material} seals of {names} {does} {fluid.words}; fit are "
            f"{', '.join(fluid.seals.fit)}",
            parts[0],
            severity=Severity.ERROR if unfit else Severity.WARNING,
            notes=tuple(Note(f"{part.name} has {material} seals", part.place) for part in parts),
        )


RULE = Rule("seal-fluid-mismatch", Severity.ERROR, check)
