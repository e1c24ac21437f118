"""Critical function that shares its pump.

What is checked
    Actuators of which the text says 'critical' (steering, a brake, the fan of the cooler): does
    a pump that can feed one also feed others, with no priority valve or flow divider that
    keeps the share of the critical one?

Why it matters on the machine
    Oil goes to the lowest load first: while the boom falls, the steering gets nothing.

What to do
    A priority valve ahead of all others, a positive divider, or a pump of its own.

Limits of this rule
    A priority valve counts where the critical actuator hangs on its controlled outlet; whether
    it passes enough is told by speed-off-target and force-short.

Source
    priority valves in the circuits of loaders: public service manuals; common practice
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._drains import any_way
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import actuators, sides
from circuitcheck.rules._paths import Passage, Reach
from circuitcheck.rules._rule import Outcome, Rule

DIVIDERS = ("flow divider", "gear divider")


def check(case: Case) -> Iterator[Outcome]:
    every = actuators(case)
    for part in every:
        if not part.says("critical"):
            continue
        for pump in case.of_kind("pump"):
            outlet = case.network.at(pump.name, "P")
            if outlet is None or not _feeds(case, part, _reached(case, outlet)):
                continue
            reached = _reached(case, outlet, unshared=False)
            others = [one.name for one in every if one is not part and _feeds(case, one, reached)]
            if others and _feeds(case, part, reached):
                yield case.finding(
                    f"{part.name} is critical and shares {pump.name} with "
                    f"{', '.join(others)}; nothing keeps its share",
                    part,
                )
                break


def _reached(case: Case, outlet: str, unshared: bool = True) -> Reach:
    """What a pump can feed; ``unshared`` False leaves out what has a kept share of its own."""

    def allowed(passage: Passage) -> bool:
        if passage.way is Way.MOTOR and passage.part not in dividers:
            return False
        if not any_way(passage) or passage.outlet in ("T", "NO"):
            return False
        return unshared or not _keeps(case, passage)

    dividers = {part.name for part in case.of_kind("gear divider")}
    return case.network.reach([outlet], allowed)


def _keeps(case: Case, passage: Passage) -> bool:
    word = case.circuit.parts[passage.part].kind.word
    return word in DIVIDERS or (word == "priority valve" and passage.outlet == "CF")


def _feeds(case: Case, actuator: Part, reached: Reach) -> bool:
    return any(case.network.at(actuator.name, port) in reached for port in sides(actuator))


RULE = Rule("priority-missing", Severity.WARNING, check)
