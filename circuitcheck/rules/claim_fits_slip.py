"""Number on the drawing that fits once a usual slip of reckoning is made.

What is checked
    Where a claim is off: would it fit within 2 %, and far better than now, if a radius had
    been taken for a diameter, an absolute pressure for a gauge pressure, or an efficiency
    been left out or counted twice?

Why it matters on the machine
    Left out once, an efficiency is a tenth of the force; a radius for a diameter is four
    times the area.

What to do
    Follow the formula that the claim is listed with, and correct the number.

Limits of this rule
    Where the wrong area of a cylinder explains the number, only that is said. A slip that
    fits is a guess: several slips together are not sought.

Source
    common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.rules._slips import RECKONING, told


def check(case: Case) -> Iterator[Outcome]:
    return told(case, RECKONING)


RULE = Rule("claim-fits-slip", Severity.WARNING, check, Needs.NUMBERS, explains=("claim-off",))
