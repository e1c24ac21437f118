"""Something that can close or throttle a case drain.

What is checked
    On the way from the case port of every pump and motor to the tank: shut-off valves not
    locked open, directional valves, throttles, filters without a bypass, and checks that
    crack above the limit.

Why it matters on the machine
    A closed case fails at the first start: the shaft seal first, then the slippers.

What to do
    Remove the element. For service work use a dip tube above the oil level, or a plug.

Limits of this rule
    Coolers and meters count as open, whatever their drop; case-pressure-high looks at
    pressures. Quick couplings are not known as a kind of part.

Source
    trade article on filters in case drains; quick couplings: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._drains import CASE, closing, with_case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    limit = case.limit("check_above").value
    for part in with_case(case):
        most = part.figure("case limit")
        case_limit = "" if most is None else f" (case limit {case.bar(most)})"
        for element in closing(case, part, limit):
            yield case.finding(
                f"{element.name} ({element.kind.word}) can close or throttle the case drain of "
                f"{part.name}{case_limit}",
                element,
                notes=(Note(f"{part.name} drains here", part.port_places.get(CASE, part.place)),),
            )


RULE = Rule("shut-off-in-case-drain", Severity.ERROR, check, explains=("case-pressure-high",))
