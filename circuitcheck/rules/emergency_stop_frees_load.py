"""Emergency stop that lets a load go.

What is checked
    In every step whose name begins with 'emergency': the chamber that carries a weight, or
    the one that clamps ('clamps at'), is not open to tank through the valves as they stand
    there.

Why it matters on the machine
    A stop must not start something.

What to do
    Hold on stop: a seat-tight valve on the cylinder, a detented valve for clamps.

Limits of this rule
    Only in circuits that write down such a step.

Source
    use stop or return, whichever is safer: university notes on safe design after ISO 4413
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import (
    cylinders,
    load_side,
)
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for state in _fit.emergencies(case):
        vented = case.facts.vented(state)
        for cylinder in cylinders(case):
            port = "cap" if cylinder.figure("clamps at") is not None else load_side(case, cylinder)
            junction = case.network.at(cylinder.name, port) if port else None
            if junction is None or junction not in vented:
                continue
            way = vented.path(junction)
            names = list(dict.fromkeys(p.part for p in way if p.way is Way.SPOOL))
            yield case.finding(
                f"in step {state.step.name if state.step else ''} {cylinder.name} {port} is open "
                f"to tank{f' over {names[0]}' if names else ''}: it lets go",
                cylinder,
                port=port,
                step=state.step.name if state.step else "",
            )


RULE = Rule("emergency-stop-frees-load", Severity.ERROR, check)
