"""Filter without fineness or bypass.

What is checked
    Every filter and strainer: fineness (or filtration ratio), and the pressure at which its
    bypass opens; of a filter without bypass the collapse pressure of its element, its
    indicator or its rating.

Why it matters on the machine
    It cannot be bought, nor judged.

What to do
    Fill in from the data sheet.

Limits of this rule
    Whether the element stands the full pressure is not looked at.

Source
    ISO 1219-2 clause 6 (clause list read)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for part in case.of_kind("filter", "strainer"):
        lacks = []
        if part.figure("fineness") is None and part.figure("beta") is None:
            lacks.append("fineness")
        if not any(part.given(name) for name in ("bypass", "collapse", "indicator", "rated")):
            lacks.append("bypass, or collapse pressure of its element,")
        if lacks:
            yield case.finding(f"{part.name} has no {' and no '.join(lacks).rstrip(',')}", part)


RULE = Rule("filter-data-missing", Severity.ADVICE, check)
