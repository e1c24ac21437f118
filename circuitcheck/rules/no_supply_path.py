"""Actuator that a step asks to move and that gets no oil.

What is checked
    In every step, for every cylinder or motor with a load or a way: can oil from a pump or
    accumulator reach one of its chambers in that valve state? A load that drives the motion
    and a single-acting cylinder open to tank need none.

Why it matters on the machine
    The actuator will not move, whatever the pressure at the pump.

What to do
    Check the valve positions of the step, the direction of check valves, and which valve
    port is piped to which chamber.

Limits of this rule
    Only whether there is a way is judged, not how much oil passes. An actuator that moves in
    the solved step is passed.

Source
    graph logic
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._blocked import where, without_supply
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for blocked in without_supply(case):
        part = blocked.part
        port = "no port" if len(part.ports) > 1 else f"port {blocked.port}"
        verb = "of it gets oil" if len(part.ports) > 1 else "gets no oil"
        yield case.finding(
            f"in step {blocked.step.name}, {part.name} cannot move: {port} {verb}, "
            f"{where(case, blocked, backward=True)}",
            part,
            port=blocked.port,
            step=blocked.step.name,
        )


RULE = Rule(
    "no-supply-path",
    Severity.ERROR,
    check,
    explains=("force-short", "torque-short", "pump-saturated"),
)
