"""Figure that would be usual in another unit.

What is checked
    Settings and sizes far outside what their part usually has, where the same number in
    another unit would be usual: a relief over 700 bar, a margin over 60 bar, a precharge
    over 500 bar (psi?), a pump under 1 cc/rev that 1 kW or more turns (cu in?), a cylinder
    bore under 12 mm (inch?).

Why it matters on the machine
    Slips of units look like mistakes of design, and the result is believed.

What to do
    Correct the unit, or accept the finding.

Limits of this rule
    Only the pairs named above.

Source
    common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule

PSI = 6894.757293168361
CUBIC_INCH = 1.6387064e-5
INCH = 0.0254

SUSPECTS = (
    ("relief", "set", "relief_above", True, 1e5, PSI, "psi"),
    ("pump", "margin", "margin_above", True, 1e5, PSI, "psi"),
    ("accumulator", "precharge", "precharge_above", True, 1e5, PSI, "psi"),
    ("pump", "displacement", "displacement_below", False, 1e-6, CUBIC_INCH, "cu in"),
    ("cylinder", "bore", "bore_below", False, 1e-3, INCH, "in"),
)
"""Kind, figure, limit, whether above it is odd, its unit and the other one [SI], its name."""

STRONG = 1e3
"""Power of a drive that a pump of less than 1 cc/rev does not need [W]; own choice."""


def check(case: Case) -> Iterator[Outcome]:
    for word, name, limit, above, unit, other, spelling in SUSPECTS:
        bound = case.limit(limit).value
        for part in case.of_kind(word):
            figure = part.figures.get(name)
            if figure is None or figure.origin == "assumed":
                continue
            odd = figure.value > bound if above else figure.value < bound
            if not odd or (name == "displacement" and not _strongly_driven(case, part)):
                continue
            meant = figure.value / unit * other
            yield case.finding(
                f"{name} {figure.text} of {part.name} is unusual; was "
                f"{figure.value / unit:.4g} {spelling} = {case.show(meant, figure.quantity)} "
                "meant?",
                part,
                numbers=(Number(name, figure.value, figure.quantity),),
            )


def _strongly_driven(case: Case, pump: Part) -> bool:
    drive = case.circuit.parts.get(pump.driven_by) if pump.driven_by else None
    return drive is not None and (drive.figure("power") or 0.0) >= STRONG


RULE = Rule("value-looks-like-other-unit", Severity.WARNING, check)
