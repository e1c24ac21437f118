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

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._claims import judged
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.rules._slips import RECKONING, likely


def check(case: Case) -> Iterator[Outcome]:
    within = case.limit("fits_within").value
    for verdict in judged(case):
        slip = likely(case, verdict, within)
        if slip is None or slip.sort != RECKONING or verdict.value is None:
            continue
        claim = verdict.claim
        quantity = claim.figure.quantity
        yield case.finding(
            f"{verdict.name} {case.show(claim.figure.value, quantity)} fits if {slip.text}; "
            f"worked out it is {case.show(verdict.value, quantity)} in {verdict.step}",
            case.circuit.parts.get(claim.subject),
            port=claim.port,
            step=verdict.step,
            place=claim.place,
            numbers=(
                Number("claimed", claim.figure.value, quantity),
                Number("computed", verdict.value, quantity),
                Number("with the slip", slip.value, quantity),
            ),
        )


RULE = Rule("claim-fits-slip", Severity.WARNING, check, Needs.NUMBERS, explains=("claim-off",))
