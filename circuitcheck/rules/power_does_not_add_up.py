"""Power or flow of a step that does not add up.

What is checked
    In every solved step: what the drives and falling loads put in is what actuators give, what
    turns to heat, and what is stored, within 1 %; and at every junction the flows add up to
    nothing, within 0.01 L/min.

Why it matters on the machine
    It is a check of the calculation, not of the circuit: numbers that do not add up must not
    be built on.

What to do
    Report it as a fault of circuitcheck, together with the text, and do not use the numbers.

Limits of this rule
    A law that is wrong but keeps oil and power passes. No circuit is known that this rule
    finds, and none should be.

Source
    conservation of mass and energy
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    share, flow = case.limit("share"), case.limit("flow")
    for point in case.points:
        if point.power_error > share.value:
            yield case.finding(
                f"step {point.step.name}: {case.power(point.totals.input)} goes in, and "
                f"{100.0 * point.power_error:.2g} % of it is not accounted for ({share.origin})",
                place=point.step.place,
                step=point.step.name,
                numbers=(Number("share not accounted for", point.power_error, "share"),),
            )
        if point.imbalance > flow.value:
            yield case.finding(
                f"step {point.step.name}: at some junction {case.flow(point.imbalance)} is not "
                f"accounted for ({flow.origin})",
                place=point.step.place,
                step=point.step.name,
                numbers=(Number("flow not accounted for", point.imbalance, "flow"),),
            )


RULE = Rule("power-does-not-add-up", Severity.ERROR, check, Needs.NUMBERS)
