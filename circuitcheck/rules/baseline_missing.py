"""No readings from the first start.

What is checked
    Circuits with readings: one chapter of readings is from the first start (its name holds
    'first', 'baseline', 'commission' or 'hand-over').

Why it matters on the machine
    A trend tells far more than a limit: later readings can otherwise be judged only against
    the calculation.

What to do
    Keep the readings of the hand-over in the text as a chapter of their own.

Limits of this rule
    Circuits without any readings are left alone: they may not be built yet.

Source
    baseline and regular readings in a log: trade article on case drain monitoring
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule

NAMES = ("first", "baseline", "commission", "hand-over", "handover")


def check(case: Case) -> Iterator[Outcome]:
    readings = case.circuit.readings
    named = {reading.document.lower() for reading in readings}
    if readings and not any(name in document for name in NAMES for document in named):
        yield case.finding(
            "no readings from the first start: these can be judged only against calculation",
            place=readings[0].place,
        )


RULE = Rule("baseline-missing", Severity.ADVICE, check)
