"""Pump that idles over its relief valve.

What is checked
    In every solved step with all valves at rest and nothing asked of an actuator: the flow
    over each relief, against 0.5 L/min and 1 % of the pump flow.

Why it matters on the machine
    The worst heat source there is, for no work at all.

What to do
    Unload the pump: open or tandem centre, a vented relief, an unloading valve.

Limits of this rule
    Steps that press against an end stop or a held load on purpose are passed.

Source
    closed-centre valve question and answer in the trade press; common practice
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._idle import cycle_time, is_idle, presses
from circuitcheck.rules._reliefs import passing
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    whole = cycle_time(case)
    for open_now in passing(case, case.limit("flow").value, case.limit("share").value):
        step, pump = open_now.point.step, open_now.pumps[0]
        if not is_idle(case, step) or presses(case, step):
            continue
        time = open_now.point.duration
        lasts = ""
        if time is not None:
            lasts = f" for {case.show(time, 'time')}"
            if whole is not None:
                lasts += f" of every {case.show(whole, 'time')}"
        yield case.finding(
            f"{pump.name} idles over {open_now.relief.name} in step {step.name}: "
            f"{case.power(open_now.heat)}{lasts}",
            pump,
            step=step.name,
            numbers=(
                Number("heat", open_now.heat, "power"),
                Number("relief flow", open_now.flow, "flow"),
            ),
        )


RULE = Rule("idle-over-relief", Severity.ERROR, check, Needs.NUMBERS, explains=("oil-too-hot",))
