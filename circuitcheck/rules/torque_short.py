"""Motor that cannot turn its load.

What is checked
    In every solved step, for every hydraulic motor with a load (of its own, or of a winch
    that it drives): does it stand still against it?

Why it matters on the machine
    It stalls at the relief or the cut-off, with all the heat that goes with it.

What to do
    A larger displacement, another gear ratio, or more pressure within the ratings.

Limits of this rule
    Running torque: at the start a gear motor gives about 75 %, a piston motor 85 % of it
    (from memory), which is not looked at.

Source
    torque = displacement x pressure difference / 2 pi, textbook
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import MOVES, commanded, motors, speed
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for point in case.points:
        for motor in motors(case):
            now = speed(case, motor, point.step) or 0.0
            if not commanded(case, motor, point.step) or abs(now) > MOVES:
                continue
            values = point.parts[motor.name].values
            torque, drop = abs(values["torque"]), abs(values["drop"])
            yield case.finding(
                f"{motor.name} gives {case.show(torque, 'torque')} at {case.bar(drop)} across "
                f"it in step {point.step.name} and stands still against its load",
                motor,
                step=point.step.name,
                numbers=(
                    Number("torque", torque, "torque"),
                    Number("pressure difference", drop, "pressure"),
                ),
            )


RULE = Rule(
    "torque-short",
    Severity.ERROR,
    check,
    Needs.NUMBERS,
    explains=("relief-open-in-work", "claim-off"),
)
