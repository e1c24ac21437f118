"""Clamp that falls below its pressure while something else moves.

What is checked
    Every cylinder with 'clamps at', in every solved step that has it at its end or holding
    something: the pressure of its cap side against that figure.

Why it matters on the machine
    The workpiece flies.

What to do
    A check and an accumulator at the clamp, or priority and a pressure switch that stops
    the rest.

Limits of this rule
    The clamp is taken to hold with its cap side, and to be asked for wherever a step says
    'at end stop' of it while its cap side is the one that is fed.

Source
    neither surge nor loss of pressure may make a hazard: university notes on safe design
    after ISO 4413
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for cylinder in case.of_kind("cylinder"):
        least = cylinder.figure("clamps at")
        if least is None:
            continue
        for point in case.points:
            if "at end stop" not in case.orders(point.step, cylinder.name).words:
                continue
            ports = point.parts[cylinder.name].ports
            pressure = ports["cap"].pressure if "cap" in ports else 0.0
            back = ports["rod"].pressure if "rod" in ports else 0.0
            if pressure < least and pressure >= back:
                yield case.finding(
                    f"clamp {cylinder.name} has {case.bar(pressure)} in step {point.step.name}, "
                    f"it needs {case.bar(least)} (limit from {cylinder.name})",
                    cylinder,
                    step=point.step.name,
                    numbers=(Number("pressure", pressure, "pressure"),),
                )


RULE = Rule("clamp-lost-by-other-function", Severity.WARNING, check, Needs.NUMBERS)
