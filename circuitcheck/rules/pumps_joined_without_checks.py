"""Pumps that meet without check valves.

What is checked
    Outlets of two or more pumps that stand on one stretch of line with no check valve
    between them, where the pumps have drives of their own or a pressure control. Fixed pumps
    on one shaft may meet.

Why it matters on the machine
    A pump that stands still is driven backwards as a motor by the other; two pressure
    controls on one line fight.

What to do
    A check valve in each branch, a relief on each pump's side; compensators at least 10 bar
    apart, or one control for both.

Limits of this rule
    Whether a pump can really stop by itself is taken from its drive alone.

Source
    common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._pumps import is_controlled
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    at: dict[str, list[Part]] = {}
    for pump in case.of_kind("pump"):
        outlet = case.network.at(pump.name, "P")
        if outlet is not None:
            at.setdefault(outlet, []).append(pump)
    seen: set[str] = set()
    for outlet in at:
        if outlet in seen or outlet in case.network.tanks:
            continue
        joined = case.facts.region(outlet)
        seen.update(joined.found)
        pumps = [
            p for name in joined.found if name not in case.network.tanks for p in at.get(name, ())
        ]
        if len(pumps) < 2:
            continue
        drives = {pump.driven_by or pump.name for pump in pumps}
        if len(drives) == 1 and not any(map(is_controlled, pumps)):
            continue
        names = " and ".join(pump.name for pump in pumps)
        yield case.finding(
            f"pumps {names} meet at {outlet} without check valves: one that stops is driven "
            "backwards as a motor",
            pumps[1],
            port="P",
            notes=tuple(Note(f"{pump.name} delivers there", pump.place) for pump in pumps),
        )


RULE = Rule("pumps-joined-without-checks", Severity.ERROR, check)
