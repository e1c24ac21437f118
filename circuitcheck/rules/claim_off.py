"""Number on the drawing that does not come out.

What is checked
    Every sentence of `claims`, against the computed operating points, with its own
    tolerance. A claim without a step holds if some step fulfils it; with `at most`, every
    step must. Sizes are compared: the sign of a speed or flow is not.

Why it matters on the machine
    Somebody sizes, sets or signs by that number.

What to do
    Correct the number, or say which assumption differs.

Limits of this rule
    Computed for the oil temperature of the steps and the efficiencies in the text or
    assumed; see the list of assumptions.

Source
    common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._claims import Judged, judged
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for verdict in judged(case):
        claim = verdict.claim
        if verdict.value is None:
            yield case.not_checked(claim.subject, f"{verdict.name}: {verdict.missing}")
        elif not verdict.holds:
            yield _finding(case, verdict, verdict.value)


def _finding(case: Case, verdict: Judged, value: float) -> Outcome:
    claim = verdict.claim
    asked, quantity = claim.figure.value, claim.figure.quantity
    apart = f" ({100 * (value - abs(asked)) / abs(asked):+.1f} %)" if asked else ""
    step = f" in {verdict.step}" if verdict.step else ""
    within = claim.mode == "within"
    nearest = " at its nearest" if within and not claim.step and verdict.step else ""
    mode = "" if within else f", {claim.mode}"
    how = f": {verdict.formula}" if verdict.formula else ""
    return case.finding(
        f"{verdict.name}: claimed {case.show(asked, quantity)}{mode}, worked out "
        f"{case.show(value, quantity)}{step}{nearest}{apart}{how}",
        case.circuit.parts.get(claim.subject),
        port=claim.port,
        step=verdict.step,
        place=claim.place,
        numbers=(Number("claimed", asked, quantity), Number("computed", value, quantity)),
    )


RULE = Rule("claim-off", Severity.WARNING, check, Needs.NUMBERS)
