"""Tank whose level swings too far when the cylinders move.

What is checked
    The oil that all cylinders take when their rods go out (rod volume; the whole piston for
    single-acting ones), against the oil in the tank: a warning over 15 %; an error where
    what is left is less than the least that covers the suction, or where the tank is
    overfull.

Why it matters on the machine
    Large single-acting rams empty the tank; the pump draws air.

What to do
    A larger tank, or an order of motions in which not all rods stand out at once.

Limits of this rule
    The volume in the text is taken as filled with all rods in. Accumulators and lines that
    drain at stop are left out. Circuits with several tanks are not judged.

Source
    worked by hand in textbooks: rod volume x stroke; 15 %: common practice, no source
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.components.cylinder import is_single
from circuitcheck.components.telescopic_cylinder import stages
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import areas, cylinders
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    tanks = case.of_kind("tank")
    taken = sum(_takes(cylinder) for cylinder in cylinders(case))
    if not tanks or taken <= 0.0:
        return
    if len(tanks) > 1:
        yield case.not_checked(", ".join(t.name for t in tanks), "which cylinder fills from which")
        return
    tank, limit = tanks[0], case.limit("share")
    volume, least, most = (tank.figure(name) for name in ("volume", "least", "most"))
    if volume is None:
        yield case.not_checked(tank.name, "volume of the tank")
        return
    if least is None:
        yield case.not_checked(tank.name, "least volume that covers the suction ('least')")
    left = volume - taken
    bare = left <= 0.0 or (least is not None and left < least)
    over = most is not None and volume > most
    if not (bare or over or taken > limit.value * volume):
        return
    ends = f"{case.show(taken / volume, 'share')} of {case.show(volume, 'volume')}"
    if bare:
        needed = "nothing is left" if left <= 0.0 else f"{case.show(left, 'volume')} is left"
        covers = "" if least is None else f", {case.show(least, 'volume')} covers the suction"
        ends += f"; {needed}{covers} (limit from {tank.name})"
    elif over and most is not None:
        ends += f"; with the rods in, more than the {case.show(most, 'volume')} it holds"
    else:
        ends += f"; {case.show(limit.value, 'share')} is usual ({limit.origin})"
    yield case.finding(
        f"all cylinders out takes {case.show(taken, 'volume')} from {tank.name}, {ends}",
        tank,
        severity=Severity.ERROR if bare or over else Severity.WARNING,
        numbers=(
            Number("oil taken", taken, "volume"),
            Number("oil in the tank", volume, "volume"),
        ),
    )


def _takes(cylinder: Part) -> float:
    """Oil that a cylinder takes from the tank from rod in to rod out [m3]."""
    if cylinder.kind.word == "telescopic cylinder":
        return sum(_stage_takes(cylinder, order) for order in stages(cylinder))
    cap, rod = areas(cylinder)
    return (cap - rod) * (cylinder.figure("stroke") or 0.0)


def _stage_takes(cylinder: Part, order: str) -> float:
    """Oil that one stage takes [m3]; stages share the stroke evenly where none has its own."""
    even = (cylinder.figure("stroke") or 0.0) / len(stages(cylinder))
    way = cylinder.figure(f"{order} stroke")
    # double acting: what the rod side gives back leaves the volume of the rod
    across = cylinder.figure(f"{order} {'stage' if is_single(cylinder) else 'rod'}") or 0.0
    return 0.25 * math.pi * across**2 * (even if way is None else way)


RULE = Rule("tank-level-swing", Severity.WARNING, check)
