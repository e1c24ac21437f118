"""Cylinder that two valves can feed on both sides at once.

What is checked
    Double-acting cylinders, in every combination of the valves before them that no step has and
    that is not rest: do both sides get pump oil, the one past another valve than the other?

Why it matters on the machine
    Both sides under pressure push the rod out, by the difference of the areas: it moves
    although each valve by itself would hold it or pull it in.

What to do
    One spool for both sides, or an interlock that does not let both valves stand so. Where it
    is meant as a regeneration, give the step that uses it.

Limits of this rule
    Of valves that act together up to 2187 combinations are looked at; those left out are told.
    Slip-in cartridges have no positions of their own and are not looked at.

Source
    area ratio of the cylinder: trade article on pressure intensification; logic of the graph
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from circuitcheck.basics.findings import Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._groups import Group
from circuitcheck.rules._loads import areas, cylinders
from circuitcheck.rules._paths import Reach, State, in_a_step
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for cylinder in cylinders(case):
        cap, rod = (case.network.at(cylinder.name, port) for port in ("cap", "rod"))
        if cap is None or rod is None or not areas(cylinder)[1] > 0.0:
            continue
        groups = case.facts.groups_of(cap, rod)
        yield from case.left_out(groups)
        for group in groups:
            state = next((s for s in group.states if _fights(case, group, s, cap, rod)), None)
            if state is not None:
                yield case.finding(
                    f"with {state.label}, which no step has, {cylinder.name} is fed on both "
                    "sides at once",
                    cylinder,
                )
                break


def _fights(case: Case, group: Group, state: State, cap: str, rod: str) -> bool:
    supplied = group.flows.supplied(state)
    if cap not in supplied or rod not in supplied:
        return False
    last = [_last_valve(case, supplied, junction) for junction in (cap, rod)]
    if None in last or last[0] == last[1]:
        return False
    return not in_a_step(case.facts.steps, group.valves, state)


def _last_valve(case: Case, supplied: Reach, junction: str) -> str | None:
    """Valve nearest to a junction on the way of its oil; None where there is none."""
    way: Sequence[Part] = [case.circuit.parts[passage.part] for passage in supplied.path(junction)]
    return next((part.name for part in reversed(way) if len(part.positions) > 1), None)


RULE = Rule("both-sides-fed", Severity.WARNING, check)
