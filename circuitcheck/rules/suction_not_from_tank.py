"""Pump inlet that no tank feeds.

What is checked
    For every pump: can oil always come to its inlet from a tank, or from the outlet of
    another pump, over lines, strainers and checks in their free direction? A hand-worked
    shut-off valve in the suction is the matter of shut-off-in-suction.

Why it matters on the machine
    The pump runs dry and cavitates at once.

What to do
    Connect the inlet; turn the check round or remove what stands in the way.

Limits of this rule
    How much the suction line passes is the matter of inlet-starved.

Source
    trade article on checking the easy things first; NAVEDTRA 14329, where lack of supply
    heads the list of troubles
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._paths import Passage, Way, always_open
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    outlets = {case.network.at(pump.name, "P") for pump in case.of_kind("pump")}
    for pump in case.of_kind("pump"):
        inlet = case.network.at(pump.name, "S")
        if inlet is None:
            continue
        reached = case.network.reach([inlet], _feeds, backward=True)
        own = case.network.at(pump.name, "P")
        if any(name in case.network.tanks or name in outlets - {own} for name in reached.found):
            continue
        stand = [
            passage.part
            for junction in reached.found
            for passage in case.network.into[junction]
            if passage.start not in reached and passage.way is not Way.SIGNAL
        ]
        names = ", ".join(dict.fromkeys(stand))
        why = f"{names} stands between tank and pump" if names else "no line leads there"
        yield case.finding(f"inlet of {pump.name} is not fed: {why}", pump, port="S")


def _feeds(passage: Passage) -> bool:
    return always_open(passage) or passage.way is Way.SHUT_OFF


RULE = Rule("suction-not-from-tank", Severity.ERROR, check, explains=("inlet-starved",))
