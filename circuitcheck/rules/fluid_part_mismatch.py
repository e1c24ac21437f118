"""Part that is not released for the fluid.

What is checked
    Pumps and motors with a fluid that is not mineral oil, other than those whose rating
    their maker gives for it ('rated for the fluid'): an error for water based fluids (HFA,
    HFB, HFC) and phosphate ester, where bearings, paints and metals are at stake; advice
    for the others.

Why it matters on the machine
    Bearings fail first; zinc, cadmium and paint inside the tank dissolve.

What to do
    Ask the maker of the part, and write 'rated for the fluid' with the pressure and speed
    that hold with it.

Limits of this rule
    What the fluid does to pressures and temperatures is in fluid-outside-limits, to seals
    in seal-fluid-mismatch.

Source
    from memory; ISO 12922 and ISO 15380, not read
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule

HARSH = ("HFA", "HFB", "HFC", "HFDR")


def check(case: Case) -> Iterator[Outcome]:
    fluid = case.circuit.oil.fluid
    if fluid.family in ("mineral", "hydrocarbon"):
        return
    harsh = fluid.family in HARSH
    for part in case.of_kind("pump", "motor"):
        if part.says("rated for the fluid"):
            continue
        share = fluid.get("pressure_share")
        derated = "" if share is None else f"; {100 * share.value:g} % of its pressure at most"
        yield case.finding(
            f"{part.name} is not said to be made for {fluid.words}{derated}",
            part,
            severity=Severity.ERROR if harsh else Severity.ADVICE,
        )


RULE = Rule("fluid-part-mismatch", Severity.ERROR, check)
