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

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._rod_oil import oil_to_go_out
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import cylinders
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    tanks = case.of_kind("tank")
    taken = sum(oil_to_go_out(cylinder) for cylinder in cylinders(case))
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


RULE = Rule("tank-level-swing", Severity.WARNING, check)
