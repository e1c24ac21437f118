"""Number on the drawing that fits once two units are taken for each other.

What is checked
    Where a claim is off: would it fit within 2 %, and far better than now, if psi had been
    taken for bar, an imperial gallon for a US one, hp for PS, short or long ton for tonne,
    kgf for N, rpm for rad/s, a minute for a second, degF for degC?

Why it matters on the machine
    Numbers are copied from sheets of other countries; an imperial gallon taken for a US one
    is a fifth more oil than the pump gives.

What to do
    Look at the sheet from which the number comes, and write its unit.

Limits of this rule
    Speeds and flows are also tried with the flow of the pumps at their rated efficiency, as
    in sums by hand. Where the wrong area of a cylinder explains the number, only that is
    said. A unit that fits is a guess: several slips together are not sought.

Source
    common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.rules._slips import UNIT, told


def check(case: Case) -> Iterator[Outcome]:
    return told(case, UNIT)


RULE = Rule(
    "claim-fits-other-unit", Severity.WARNING, check, Needs.NUMBERS, explains=("claim-off",)
)
