"""Relief valve set too close above the pump's pressure control.

What is checked
    For every pump with a pressure control and each relief that it can always reach: the
    relief cracks above the highest pressure of the control, but by less than 15 bar or 10 %
    of it, whichever is more.

Why it matters on the machine
    The pump overshoots when it destrokes and opens the relief at every stop; two regulators
    close together chatter or share the flow.

What to do
    Raise the relief if all ratings allow it, else lower the compensator. Never close the
    gap by guesswork.

Limits of this rule
    The cracking pressure is estimated where the part does not say it, as in
    relief-below-compensator.

Source
    trade case with a gap of 250 psi (17 bar); 10 %: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._pumps import control_limit, cracking, guards, is_controlled
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for pump in case.of_kind("pump"):
        if not is_controlled(pump):
            continue
        limit = control_limit(case, pump)
        if limit is None:
            yield case.not_checked(pump.name, "pressure cut-off ('compensator') of the pump")
            continue
        least = max(case.limit("gap").value, case.limit("share").value * limit.value)
        for relief in guards(case, pump):
            gap = cracking(relief) - limit.value
            if not 0.0 < gap < least:
                continue
            yield case.finding(
                f"only {case.bar(gap)} between {pump.name} ({case.bar(limit.value)}, "
                f"{limit.origin}) and relief {relief.name} (cracks at "
                f"{case.bar(cracking(relief))}); at least {case.bar(least)} keeps them from "
                "working against each other",
                relief,
                numbers=(
                    Number("gap", gap, "pressure"),
                    Number("least gap", least, "pressure"),
                ),
                notes=(Note(f"{pump.name} is set here", pump.place),),
            )


RULE = Rule("relief-gap-small", Severity.WARNING, check, explains=("ls-limits-out-of-order",))
