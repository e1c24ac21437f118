"""Two oils that meet.

What is checked
    Tanks between which oil can pass, by whatever valve, and that are said to be filled with
    different oils ('fill').

Why it matters on the machine
    Additives may fight, and nobody knows the viscosity.

What to do
    One fluid; flush before the change.

Limits of this rule
    The operating points are worked out with the one oil of the circuit.

Source
    do not mix hydraulic fluids: NAVEDTRA 14329 (troubleshooting pages)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    tanks = [tank for tank in case.of_kind("tank") if _fit.code(tank, "fill")]
    for i, tank in enumerate(tanks):
        for other in tanks[i + 1 :]:
            if _fit.code(tank, "fill") != _fit.code(other, "fill") and _joined(case, tank, other):
                yield case.finding(
                    f"{tank.figures['fill'].text} of {tank.name} and {other.figures['fill'].text} "
                    f"of {other.name} meet",
                    other,
                    notes=(Note(f"{tank.name} stands here", tank.place),),
                )


def _joined(case: Case, tank: Part, other: Part) -> bool:
    """Whether oil from the one can come to the other, or oil of both to a third place."""
    own, theirs = ({*_reached(case, part)} for part in (tank, other))
    return bool(own & theirs)


def _reached(case: Case, tank: Part) -> Iterator[str]:
    """Junctions that oil of a tank can come to, through pumps as well."""
    seen: set[str] = set()
    waiting = list(case.network.joints[tank.name].values())
    first = set(waiting)
    while waiting:
        here = waiting.pop()
        if here in seen:
            continue
        seen.add(here)
        yield here
        if here in case.network.tanks and here not in first:
            continue
        waiting += [p.stop for p in case.network.out[here] if p.way is not Way.AGAINST]
        waiting += [
            outlet
            for end in case.circuit.neighbours(here)
            if end.port == "S" and (outlet := case.network.at(end.part, "P")) is not None
        ]


RULE = Rule("oil-mix", Severity.WARNING, check)
