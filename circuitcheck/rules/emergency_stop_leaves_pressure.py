"""Emergency stop that leaves an actuator under pressure.

What is checked
    In every step whose name begins with 'emergency': an actuator that a pump or accumulator
    still feeds through the valves as they stand there, other than clamps ('clamps at').

Why it matters on the machine
    Stopping the drive is not stopping the oil: an accumulator goes on.

What to do
    Valves that fall to block or vent when they lose their current.

Limits of this rule
    Chambers that a seat-tight valve holds are not fed. Only in circuits that write down
    such a step. Brakes are left out.

Source
    the emergency stop acts at once and needs no actuator energised: university notes on
    safe design after ISO 4413; ISO 13850, from memory
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import (
    actuators,
    sides,
)
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    stores = [case.network.at(part.name, "P") for part in case.of_kind("accumulator")]
    for state in _fit.emergencies(case):
        supplied = case.facts.supplied(state)
        running = _fit.pumps_run(case, state)
        for part in actuators(case):
            if part.figure("clamps at") is not None:
                continue
            for port in sides(part):
                junction = case.network.at(part.name, port)
                if junction is None or junction not in supplied:
                    continue
                way = supplied.path(junction)
                start = way[0].start if way else junction
                if start not in stores and not running:
                    continue
                source = _fit.named_at(case, start)
                over = ", ".join(dict.fromkeys(p.part for p in way if p.way is Way.SPOOL))
                yield case.finding(
                    f"in step {state.step.name if state.step else ''} {part.name} {port} is still "
                    f"fed by {source}{f' over {over}' if over else ''}",
                    part,
                    port=port,
                    step=state.step.name if state.step else "",
                )
                break


RULE = Rule("emergency-stop-leaves-pressure", Severity.ERROR, check)
