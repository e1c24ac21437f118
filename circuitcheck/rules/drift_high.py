"""Load that sinks faster than leakage lets it.

What is checked
    Readings of the speed of a cylinder in steps that do not ask it to move: more than twice
    the computed creep, and more than 1 mm/min.

Why it matters on the machine
    It gives the size of the leak.

What to do
    Read both sides: equal pressures tell of the piston seal with a second leak outward,
    unequal ones of the valve.

Limits of this rule
    The pressure of the sealed side against its rating: see rod-side-over-rating.

Source
    trade article on cylinder drift; v = Q/A
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import NotChecked, Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import (
    areas,
    commanded,
    moves,
)
from circuitcheck.rules._read import read
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    factor, least = case.limit("factor").value, case.limit("speed").value
    for reading in read(case, ("speed",), "cylinder", "telescopic cylinder"):
        if isinstance(reading, NotChecked):
            yield reading
            continue
        step = reading.point.step
        if commanded(case, reading.part, step) or moves(case, reading.part, step):
            continue
        speed = abs(reading.value)
        if speed > max(least, factor * abs(reading.expected)):
            leak = speed * areas(reading.part)[0]
            yield case.finding(
                f"{reading.part.name} creeps {speed * 6e4:.3g} mm/min in step {reading.step} "
                f"({abs(reading.expected) * 6e4:.2g} expected): {leak * 6e7:.3g} mL/min leak",
                reading.part,
                step=reading.step,
                place=reading.claim.place,
                numbers=(Number("speed", speed, "speed"), Number("leak", leak, "flow")),
            )


RULE = Rule("drift-high", Severity.WARNING, check, Needs.NUMBERS)
