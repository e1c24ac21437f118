"""Valve position that no step uses.

What is checked
    Every position of every directional valve occurs in some step, or is its rest position.

Why it matters on the machine
    Either a step is missing from the list, or the valve does more than is needed.

What to do
    Complete the steps; a position for emergencies deserves a step of its own.

Limits of this rule
    Only where there are at least two steps. Positions that two energised solenoids would
    give are not looked at.

Source
    ISO 1219-2 clause 7, supplementary information (clause list read)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    states = case.facts.steps
    if len(states) < 2:
        return
    for valve in case.of_kind("valve"):
        used = {state.position(valve) for state in states}
        unused = [name for name in valve.positions if name not in used and name != valve.rest]
        if unused:
            yield case.finding(
                f"position {' and '.join(unused)} of {valve.name} occurs in no step", valve
            )


RULE = Rule("valve-position-never-used", Severity.ADVICE, check)
