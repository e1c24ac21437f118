"""Pump inlet that no tank feeds.

What is checked
    For every pump: can oil always come to its inlet from a tank, or from the outlet of
    another pump, over lines, strainers and checks in their free direction? Of a closed loop
    both sides are asked for, which a charge pump feeds. A hand-worked
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
from circuitcheck.components._parts import Part
from circuitcheck.components._pump_controls import is_loop
from circuitcheck.rules._case import Case, outlets
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import Passage, always_open
from circuitcheck.rules._rule import Outcome, Rule

NO_FEED = (Way.SIGNAL, Way.MOTOR, Way.CROSS)
"""Ways that could not feed a pump if they were open."""


def check(case: Case) -> Iterator[Outcome]:
    for pump in case.of_kind("pump"):
        for port in outlets(pump) if is_loop(pump) else ("S",):
            yield from _inlet(case, pump, port)


def _inlet(case: Case, pump: Part, port: str) -> Iterator[Outcome]:
    inlet = case.network.at(pump.name, port)
    if inlet is not None:
        reached = case.network.reach([inlet], _feeds, backward=True)
        own = {case.network.at(pump.name, outlet) for outlet in outlets(pump)}
        tanks, fed = case.network.tanks, case.facts.fed_by_pumps
        if any(name in tanks or (name in fed and name not in own) for name in reached.found):
            return
        stand = [
            passage.part
            for junction in reached.found
            for passage in case.network.into[junction]
            if passage.start not in reached and passage.way not in NO_FEED
        ]
        names = ", ".join(dict.fromkeys(stand))
        where = f"side {port}" if is_loop(pump) else "inlet"
        source = "what could feed it" if is_loop(pump) else "tank"
        why = f"{names} stands between {source} and pump" if names else "no line leads there"
        yield case.finding(f"{where} of {pump.name} is not fed: {why}", pump, port=port)


def _feeds(passage: Passage) -> bool:
    return always_open(passage) or passage.way is Way.SHUT_OFF


RULE = Rule("suction-not-from-tank", Severity.ERROR, check, explains=("inlet-starved",))
