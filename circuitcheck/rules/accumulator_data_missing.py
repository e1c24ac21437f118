"""Accumulator without the data to service it.

What is checked
    Every accumulator under gas: volume, precharge (errors), the highest working pressure (a
    warning) and the temperature of the precharge (advice) are given.

Why it matters on the machine
    Service without the precharge is dangerous; a bottle over its rating is a bomb.

What to do
    Fill in volume, precharge with its temperature, and the highest pressure, and add the
    note on safe service.

Limits of this rule
    Spring and weight loaded accumulators have neither gas nor precharge and are left out.

Source
    information for safe servicing on it and on the diagram: university notes on safe design
    after ISO 4413; ISO 1219-2 clause 6 (clause list read)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule

ASKED = {"volume": "volume", "precharge": "precharge"}
BESIDE = {
    "precharge temperature": "temperature of the precharge",
    "rated": "highest working pressure",
}


def check(case: Case) -> Iterator[Outcome]:
    for accumulator in case.of_kind("accumulator"):
        if accumulator.says("spring loaded") or accumulator.says("weight loaded"):
            continue
        worse = [text for name, text in ASKED.items() if accumulator.figure(name) is None]
        lacks = worse + [text for name, text in BESIDE.items() if not accumulator.given(name)]
        if lacks:
            yield case.finding(
                f"{accumulator.name} lacks {', '.join(lacks)}",
                accumulator,
                severity=Severity.ERROR
                if worse
                else Severity.WARNING
                if not accumulator.given("rated")
                else Severity.ADVICE,
            )


RULE = Rule("accumulator-data-missing", Severity.ERROR, check)
