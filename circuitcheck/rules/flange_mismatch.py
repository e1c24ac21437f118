"""Flange of a pump that does not fit what turns it.

What is checked
    The flange code of every pump and motor against that of its drive, or of the
    through-drive of the pump before it ('rear flange'), where both are given.

Why it matters on the machine
    It will not bolt up, and adapter plates change how far the shaft enters.

What to do
    Order the other code, or an adapter that is made for the pair.

Limits of this rule
    Codes are compared as written (pilot in whole mm, dash, bolts); where only one of the
    two is given nothing can be compared, and this is said.

Source
    SAE J744 codes (summary page); ISO 3019-1 and -2, from memory
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for part in case.of_kind("pump", "motor"):
        before = _fit.driver(case, part)
        if before is None:
            continue
        own = _fit.code(part, "flange")
        other = _fit.code(before, "rear flange" if before.kind.word == "pump" else "flange")
        if not own or not other:
            if own or other:
                lacks = part if not own else before
                yield case.not_checked(lacks.name, "flange code")
            continue
        if own != other:
            yield case.finding(
                f"flange {own} of {part.name} does not fit flange {other} of {before.name} "
                f"(pilot {_fit.pilot_diameter(own)} against {_fit.pilot_diameter(other)})",
                part,
                notes=(Note(f"{before.name} has {other}", before.place),),
            )


RULE = Rule("flange-mismatch", Severity.ERROR, check)
