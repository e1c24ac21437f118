"""Drive without its power.

What is checked
    Every electric motor and engine that turns something: its rated power is given.

Why it matters on the machine
    The power of every step is known, but nothing says whether it is too much.

What to do
    Fill in the power of the name plate.

Limits of this rule
    A speed without a drive (pump 1450 rpm) has no power to judge; this is said as advice.

Source
    ISO 1219-2 clause 6 (clause list read)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for drive in case.of_kind(*_fit.DRIVES):
        if drive.figure("power") is None:
            yield case.finding(f"{drive.name} has no power: the load on it is not judged", drive)


RULE = Rule("drive-data-missing", Severity.WARNING, check)
