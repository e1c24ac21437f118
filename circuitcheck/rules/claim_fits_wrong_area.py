"""Claim that was worked out with the wrong area of a cylinder.

What is checked
    Where a claimed speed, force or time of a cylinder is off: would it fit within 2 % with
    another of its areas (bore, rod side, rod)?

Why it matters on the machine
    By far the commonest slip in cylinder sums; the machine returns too fast or lifts too
    little.

What to do
    Correct the number: the bore counts where oil fills the cap end, the rod side where it
    fills the rod end, the rod alone in regeneration.

Limits of this rule
    Speeds are also tried with the flow of the pumps at their rated efficiency, as in sums by
    hand. Forces are scaled by the areas alone, without the pressure behind the piston.

Source
    common practice, no source
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._claims import Judged, judged
from circuitcheck.rules._formulas import area_text, pushed_side
from circuitcheck.rules._loads import areas
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.rules._slips import nominal

ALIKE = 0.02
"""Areas this near to each other cannot be told apart by a claim; own choice."""


def check(case: Case) -> Iterator[Outcome]:
    within = case.limit("fits_within").value
    for verdict in judged(case):
        part = case.circuit.parts.get(verdict.claim.subject)
        if verdict.holds is not False or part is None or part.kind.word != "cylinder":
            continue
        if verdict.claim.what in ("speed", "force", "time") and verdict.step:
            yield from _fits(case, verdict, part, within)


def _fits(case: Case, verdict: Judged, cylinder: Part, within: float) -> Iterator[Outcome]:
    point = case.point(verdict.step)
    value, asked = verdict.value, abs(verdict.claim.figure.value)
    if point is None or not value:
        return
    cap, rod_side = areas(cylinder)
    rod = cylinder.figure("rod") or 0.0
    named = {"bore": cap, "rod-side": rod_side, "rod": math.pi / 4.0 * rod**2}
    _, index = pushed_side(point.parts[cylinder.name])
    used = "rod-side" if index else "bore"
    for other, area in named.items():
        if other == used or area <= 0.0 or named[used] <= 0.0:
            continue
        ratio = named[used] / area
        if abs(ratio - 1.0) < ALIKE:
            continue  # the claim is off by something else
        fits = value * ratio if verdict.claim.what == "speed" else value / ratio
        reckoned = fits * nominal(case, point, verdict.claim.figure.quantity)
        if any(abs(number - asked) <= within * asked for number in (fits, reckoned)):
            yield case.finding(
                f"{verdict.name} {case.show(asked, verdict.claim.figure.quantity)} fits the "
                f"{other} area of {cylinder.name}, {area_text(area)}; step {verdict.step} uses "
                f"the {used} area, {area_text(named[used])}",
                cylinder,
                step=verdict.step,
                place=verdict.claim.place,
                numbers=(
                    Number(f"{other} area", area, "area"),
                    Number(f"{used} area", named[used], "area"),
                ),
            )
            return


RULE = Rule(
    "claim-fits-wrong-area",
    Severity.WARNING,
    check,
    Needs.NUMBERS,
    explains=("claim-off",),
)
