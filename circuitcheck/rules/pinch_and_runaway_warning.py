"""Actuator that can crush near people.

What is checked
    Every actuator 'near people', in every solved step: force above 150 N or speed above
    0.25 m/s; of a motor, its power above that of both.

Why it matters on the machine
    Crushing.

What to do
    Safeguard by risk assessment: guards, two hands, less force or speed.

Limits of this rule
    Only actuators that the text marks. The limits are for a first look and are settled by
    the risk assessment.

Source
    limits from memory, to be settled by the risk assessment (ISO 12100)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import (
    actuators,
    is_cylinder,
)
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    force, speed = case.limit("force").value, case.limit("speed").value
    for part in actuators(case):
        if not part.says("near people"):
            continue
        rod = is_cylinder(part)
        for point in case.points:
            values = point.parts[part.name].values
            if abs(values["speed"]) < STANDS:
                continue
            push = abs(values["force"]) if rod else 0.0
            hard = push > force or (rod and abs(values["speed"]) > speed)
            if hard or (not rod and abs(values["power"]) > force * speed):
                how = (
                    f"{case.show(push, 'force')} at {case.show(abs(values['speed']), 'speed')}"
                    if rod
                    else case.power(abs(values["power"]))
                )
                yield case.finding(
                    f"{part.name} moves with {how} near people in step {point.step.name}",
                    part,
                    step=point.step.name,
                )
                break


STANDS = 1e-4
"""Speed under which an actuator does not crush anybody soon [m/s or rad/s]; own choice."""


RULE = Rule("pinch-and-runaway-warning", Severity.ADVICE, check, Needs.NUMBERS)
