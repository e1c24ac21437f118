"""Relief that opens elsewhere than it should.

What is checked
    Readings of the cracking pressure of reliefs against the computed one: more than 5 %
    apart. And a flow read through a relief in a step in which it should be shut.

Why it matters on the machine
    A leaking relief is the commonest hidden loss.

What to do
    Feel the temperature of its outlet, then measure the flow in its tank line.

Limits of this rule
    Cracking is read while the pressure rises slowly.

Source
    heat appears wherever pressure drops without work: trade columns; 5 %: common practice,
    no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import NotChecked, Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._read import read
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    share, least = case.limit("share").value, case.limit("flow").value
    for reading in read(case, ("cracking", "flow"), "relief"):
        if isinstance(reading, NotChecked):
            yield reading
            continue
        name = reading.part.name
        if reading.claim.what == "cracking":
            off = abs(reading.value - reading.expected) > share * reading.expected
            told = (
                f"{name} opens at {case.bar(reading.value)}, expected {case.bar(reading.expected)}"
            )
        else:
            off = reading.value > least >= reading.expected
            told = (
                f"{name} passes {case.flow(reading.value)} in step {reading.step}, where it should "
                "be shut"
            )
        if off:
            yield case.finding(
                told,
                reading.part,
                step=reading.step,
                place=reading.claim.place,
                numbers=(Number("read", reading.value, reading.claim.figure.quantity),),
            )


RULE = Rule("relief-crack-off", Severity.WARNING, check, Needs.NUMBERS)
