"""Actuator that is moved faster than oil can fill it.

What is checked
    In every solved step: cylinders and motors of which a chamber is below atmospheric
    pressure and goes empty while they move.

Why it matters on the machine
    Control is lost, surfaces erode, and the motion lags when it is reversed.

What to do
    A counterbalance valve, a make-up check from the return line, or some back pressure in
    the return.

Limits of this rule
    Steady motion only; a sudden stop can empty a chamber that is full in the steady step.

Source
    any part whose demand exceeds its supply falls below vapour pressure: trade article on
    symptoms of common problems
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._rod_loads import CAVITATES, RUNS_AWAY
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import actuators, moves, sides
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for point in case.points:
        for part in actuators(case):
            state = point.parts[part.name]
            if state.state not in (CAVITATES, RUNS_AWAY) or not moves(case, part, point.step):
                continue
            joined = [port for port in sides(part) if port in state.ports]
            if not joined:
                continue
            port = min(joined, key=lambda name: state.ports[name].pressure)
            pressure = state.ports[port].pressure
            why = "the load runs away" if state.state == RUNS_AWAY else "it is moved"
            yield case.finding(
                f"{part.name} port {port} goes empty in step {point.step.name}: {why} "
                "faster than it is filled",
                part,
                port=port,
                step=point.step.name,
                numbers=(Number("pressure", pressure, "pressure"),),
            )


RULE = Rule("actuator-cavitates", Severity.ERROR, check, Needs.NUMBERS, explains=("claim-off",))
