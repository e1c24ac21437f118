"""Relief valve set above the rating of something it guards.

What is checked
    For every point that pumps can pressurise in some valve position: the setting of the
    relief that guards it (and its rise where the pump brings more than its rated flow), or
    of the reducing valve or limited section before it, against the rating of every part
    there, hoses, filters and gauges included.

Why it matters on the machine
    The relief then protects everything but the weakest part.

What to do
    Set it by the weakest part, take a part of higher rating, or split the pressure zones
    with a reducing valve or a second relief.

Limits of this rule
    Parts without a rating are listed as not checked. The range of a gauge counts as its
    rating. Return lines behind the tank port of a valve are not counted as guarded. What a
    cylinder multiplies on its rod side is the matter of rod-side-over-rating.

Source
    ISO 4413:1998 clause 10.2 (clause list read); US Army TM 5-3810-293-14P-2 (single page)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._ratings import rating, unrated
from circuitcheck.rules._rule import Outcome, Rule
from circuitcheck.rules._zones import Guard, guarded_junctions


def check(case: Case) -> Iterator[Outcome]:
    guards = guarded_junctions(case)
    without: list[str] = []
    for part in case.circuit.parts.values():
        found: Guard | None = None
        for port, junction in case.network.joints[part.name].items():
            guard = guards.get(junction)
            if guard is None or (part.kind.word == "valve" and port == "T"):
                continue
            if found is None or guard.pressure > found.pressure:
                found = guard
        if found is None:
            continue
        rated = rating(part)
        if rated is None:
            without.append(part.name)
        elif found.pressure > rated:
            yield _finding(case, part, found, rated)
    yield from unrated(case, without)


def _finding(case: Case, part: Part, guard: Guard, rated: float) -> Outcome:
    limiter = guard.part
    setting = limiter.figure("limit" if limiter.kind.word == "section" else "set") or 0.0
    more = guard.pressure - setting
    over = f" (+{case.bar(more)} at full flow)" if more > 0.0 else ""
    return case.finding(
        f"{limiter.kind.word} {limiter.name} at {case.bar(setting)}{over} guards {part.name} "
        f"({part.kind.word}), which is rated only {case.bar(rated)}",
        limiter,
        numbers=(
            Number("pressure at full flow", guard.pressure, "pressure"),
            Number(f"rating of {part.name}", rated, "pressure"),
        ),
        notes=(Note(f"{part.name} is rated here", part.place),),
    )


RULE = Rule("relief-over-lowest-rating", Severity.ERROR, check)
