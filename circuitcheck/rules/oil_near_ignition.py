"""Oil under pressure beside a source of heat.

What is checked
    Lines 'near a heat source' (exhaust, furnace, arc) that carry a fluid that burns at more
    than 50 bar in any solved step.

Why it matters on the machine
    A pinhole makes a torch.

What to do
    Shields, another routing, or a fire-resistant fluid; then run the rules on seals and
    pumps again.

Limits of this rule
    Only lines that the text marks. Water based fluids (HFA, HFB, HFC) and phosphate ester
    are taken as fire-resistant, which is not fireproof.

Source
    mine-safety hose precautions; ISO 12922, not read
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule

RESISTANT = ("HFA", "HFB", "HFC", "HFDR")


def check(case: Case) -> Iterator[Outcome]:
    limit = case.limit("pressure")
    if case.circuit.oil.fluid.family in RESISTANT:
        return
    for line in case.of_kind("line"):
        if not line.says("near a heat source") or line.says("guarded"):
            continue
        point = max(case.points, key=lambda p: p.parts[line.name].values["pressure"])
        pressure = point.parts[line.name].values["pressure"]
        if pressure > limit.value:
            yield case.finding(
                f"spray from {line.name} ({case.bar(pressure)}, {case.circuit.oil.fluid.words}) "
                "can reach a source of heat",
                line,
                step=point.step.name,
                numbers=(Number("pressure", pressure, "pressure"),),
            )


RULE = Rule("oil-near-ignition", Severity.ADVICE, check, Needs.NUMBERS)
