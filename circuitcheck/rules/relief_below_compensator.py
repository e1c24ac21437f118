"""Relief valve that opens before the pump's pressure control acts.

What is checked
    For every pump with a pressure cut-off or load-sensing control: a relief valve that the
    pump can always reach begins to open (cracking pressure = setting less override) at or
    below the highest pressure that the control can ask for (cut-off, else the highest
    section limit plus the margin).

Why it matters on the machine
    The pump keeps full stroke to hold a pressure that the relief will not allow: all its
    flow goes over the relief and turns to heat.

What to do
    Set the relief above the compensator, by the gap that relief-gap-small asks for, if
    every rating on the line allows it; otherwise set the compensator lower.

Limits of this rule
    The override is 5 % (piloted) or 10 % (direct) of the setting unless the part says when
    it cracks. Reliefs behind elements that can close are not looked at.

Source
    trade case with a 1500 psi compensator and a 1750 psi relief; meaning of override:
    lecture text on pressure valves
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._pumps import control_limit, cracking, guards, idle_flow, is_controlled
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for pump in case.of_kind("pump"):
        if not is_controlled(pump):
            continue
        limit = control_limit(case, pump)
        if limit is None:
            yield case.not_checked(pump.name, "pressure cut-off ('compensator') of the pump")
            continue
        for relief in guards(case, pump):
            crack = cracking(relief)
            if crack > limit.value:
                continue
            flow = idle_flow(case, pump)
            heat = (
                f"; up to {case.power(flow * crack)} goes into the oil" if flow is not None else ""
            )
            yield case.finding(
                f"relief {relief.name} cracks at {case.bar(crack)}, {pump.name} regulates to "
                f"{case.bar(limit.value)} ({limit.origin}): it never destrokes{heat}",
                relief,
                numbers=(
                    Number("cracking pressure", crack, "pressure"),
                    Number("highest pressure of the pump control", limit.value, "pressure"),
                ),
                notes=(Note(f"{pump.name} is set here", pump.place),),
            )


RULE = Rule(
    "relief-below-compensator",
    Severity.ERROR,
    check,
    explains=(
        "relief-open-in-work",
        "idle-over-relief",
        "oil-too-hot",
        "drive-overloaded",
        "ls-limits-out-of-order",
    ),
)
