"""Load-sensing margin smaller than the metering drop it has to make.

What is checked
    For every load-sensing pump: its margin against the drop that the rated flow of each
    metering valve it feeds is given at (spring of a section's compensator, rated drop of a
    proportional valve), and against a least margin.

Why it matters on the machine
    Flow goes with the root of the margin: all functions slow down together.

What to do
    Raise the margin with two gauges on P and LS, not by ear.

Limits of this rule
    The drop of supply lines and of the section's own compensator, which also come out of
    the margin, are not added.

Source
    margins of 21 bar (US Army TM 5-2410-241-23-1) and 17 bar (textbook on mobile hydraulic
    systems) as examples; flow with the root of the drop: textbook
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._pumps import is_load_sensing, supply_way
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    least = case.limit("least")
    for pump in case.of_kind("pump"):
        outlet, margin = case.network.at(pump.name, "P"), pump.figure("margin")
        if not is_load_sensing(pump) or outlet is None or margin is None:
            continue
        slow = False
        for valve, drop in _metering(case, outlet):
            if margin >= drop:
                continue
            slow = True
            flow = valve.figure("flow") or 0.0
            real = flow * math.sqrt(margin / drop)
            yield case.finding(
                f"{pump.name} holds {case.bar(margin)} over the load; {valve.name} needs "
                f"{case.bar(drop)} for {case.flow(flow)}, you get {case.flow(real)}",
                pump,
                numbers=(
                    Number("margin", margin, "pressure"),
                    Number("metering drop", drop, "pressure"),
                    Number("flow at this margin", real, "flow"),
                ),
                notes=(Note(f"{valve.name} is given here", valve.place),),
            )
        if not slow and margin < least.value:
            yield case.finding(
                f"{pump.name} holds only {case.bar(margin)} over the load; "
                f"{case.bar(least.value)} is the least ({least.origin})",
                pump,
                numbers=(Number("margin", margin, "pressure"),),
            )


def _metering(case: Case, outlet: str) -> list[tuple[Part, float]]:
    """Metering valves that a pump feeds, with the drop that their flow needs [Pa]."""
    reached = case.network.reach([outlet], supply_way)
    found: list[tuple[Part, float]] = []
    for part in case.of_kind("section", "valve"):
        if case.network.at(part.name, "P") not in reached:
            continue
        if part.kind.word == "section":
            found.append((part, part.figure("spring") or 0.0))
        elif part.says("proportional"):
            given = part.figure("drop") if part.given("drop") else None
            unknown = case.limit("unknown_valve").value
            found.append((part, unknown if given is None else given))
    return found


RULE = Rule("margin-too-small", Severity.WARNING, check, explains=("pump-saturated",))
