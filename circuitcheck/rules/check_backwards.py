"""Check valve that looks turned the wrong way.

What is checked
    Where an actuator gets no oil (no-supply-path) or cannot empty (no-return-path) in a
    step: is there exactly one check valve that, turned round, would open the way without
    letting the pump run off to tank? And in any state: a check at a pump's outlet that stands
    against it, where the pump's oil has no other way out but over reliefs.

Why it matters on the machine
    The commonest slip in drafting and assembly; the actuator stands still or locks.

What to do
    Turn the check valve round: oil passes from in to out. Confirm the arrow on the real
    part.

Limits of this rule
    Two checks turned wrong in one way are not found.

Source
    graph logic; in-line checks fitted the wrong way are a told trouble case
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.rules._blocked import reversed_check, without_return, without_supply
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import Passage
from circuitcheck.rules._rule import Outcome, Rule

SHUT = (Way.AGAINST, Way.RELIEF, Way.CROSS, Way.SIGNAL)
"""Ways that give no oil to the work."""


def check(case: Case) -> Iterator[Outcome]:
    seen: set[str] = set()
    for pump in case.of_kind("pump"):
        outlet = case.network.at(pump.name, "P")
        region = {} if outlet is None else case.facts.region(outlet).found
        exits = [p for name in region for p in case.network.out[name] if p.stop not in region]
        against = [p.part for p in exits if p.way is Way.AGAINST and not _is_no_check(case, p)]
        if against and all(p.way in SHUT for p in exits):
            seen.add(against[0])
            turned = case.circuit.parts[against[0]]
            yield case.finding(
                f"check {turned.name} looks reversed: it stands against {pump.name}, whose oil has "
                "no other way out but over reliefs",
                turned,
                notes=(Note(f"{pump.name} delivers into it", pump.place),),
            )
    for gets, cases in (("get oil", without_supply), ("empty", without_return)):
        for blocked in cases(case):
            valve = reversed_check(case, blocked, backward=cases is without_supply)
            if valve is None or valve.name in seen:
                continue
            seen.add(valve.name)
            actuator = blocked.part
            yield case.finding(
                f"check {valve.name} looks reversed: turned round, {actuator.name} would {gets} "
                f"in step {blocked.step.name}",
                valve,
                step=blocked.step.name,
                notes=(Note(f"{actuator.name} cannot move", actuator.place),),
            )


def _is_no_check(case: Case, passage: Passage) -> bool:
    return case.circuit.parts[passage.part].kind.word != "check"


RULE = Rule(
    "check-backwards",
    Severity.ERROR,
    check,
    explains=("no-supply-path", "no-return-path"),
)
