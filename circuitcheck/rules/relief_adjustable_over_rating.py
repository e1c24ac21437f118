"""Relief that can be wound up over the weakest part.

What is checked
    Every relief with an adjusting range ('adjusts to') that ends above the lowest rating of
    the parts it guards, and that is not sealed.

Why it matters on the machine
    It is the first thing that is turned when a machine is weak.

What to do
    A spring whose range ends below the rating, or a cap with a seal.

Limits of this rule
    Only where the range is given; the override at full flow comes on top.

Source
    pressures are usually set too high: trade article on common mistakes; ISO 4413:1998
    clause 7.6 (clause list read)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._ratings import rating
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for relief in case.of_kind("relief"):
        highest = relief.figure("adjusts to")
        junction = case.network.at(relief.name, "P")
        if highest is None or relief.says("sealed") or junction is None:
            continue
        found = [
            (stands, part.name)
            for part in _guarded(case, junction)
            if (stands := rating(part)) is not None
        ]
        weakest, name = min(found, default=(highest, ""))
        if highest > weakest:
            yield case.finding(
                f"{relief.name} can be wound up to {case.bar(highest)}; {name} stands "
                f"{case.bar(weakest)}",
                relief,
                numbers=(
                    Number("highest setting", highest, "pressure"),
                    Number("weakest part", weakest, "pressure"),
                ),
            )


def _guarded(case: Case, junction: str) -> list[Part]:
    """Parts on the oil that stands at the inlet of a relief."""
    parts = {
        end.part: case.circuit.parts[end.part]
        for name in case.facts.region(junction).found
        if name not in case.network.tanks
        for end in case.circuit.neighbours(name)
        if end.port != "T"
    }
    return list(parts.values())


RULE = Rule("relief-adjustable-over-rating", Severity.WARNING, check)
