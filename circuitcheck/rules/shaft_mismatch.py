"""Shaft of a pump that does not enter what turns it.

What is checked
    The shaft code of every pump and motor against the one that its drive, or the
    through-drive of the pump before it ('rear shaft'), is made for. A coupling between
    drive and pump ('coupling') joins different shafts and is left out.

Why it matters on the machine
    Nearly equal splines start and then strip.

What to do
    Match the code; note the class of fit.

Limits of this rule
    Codes are compared as written; the length of the shaft is not known.

Source
    J744 shaft types 1 to 4 (summary page); spline sizes from memory
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
        if before is None or before.figure("coupling") is not None:
            continue
        own = _fit.code(part, "shaft")
        other = _fit.code(before, "rear shaft" if before.kind.word == "pump" else "shaft")
        if not own or not other:
            if own or other:
                lacks = part if not own else before
                yield case.not_checked(lacks.name, "shaft code")
            continue
        if own != other:
            yield case.finding(
                f"shaft {_named(own)} of {part.name} does not enter {before.name}, made for "
                f"{_named(other)}",
                part,
                notes=(Note(f"{before.name} takes {other}", before.place),),
            )


def _named(shaft: str) -> str:
    teeth = _fit.spline(shaft)
    return f"{shaft} ({teeth})" if teeth else shaft


RULE = Rule("shaft-mismatch", Severity.ERROR, check)
