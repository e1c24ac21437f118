"""Filter drop read that tells of a loaded element.

What is checked
    Readings of the drop of filters and strainers: three times the computed one of the clean
    element or more (and over 0.1 bar), or at the bypass.

Why it matters on the machine
    The element is loaded, or oil passes it unfiltered.

What to do
    Change it, and cut the old one open. Ignore the drop while the oil is cold.

Limits of this rule
    A filter that a step says is clogged is computed so, and then compared with that.

Source
    check at running temperature before acting: NAVEDTRA 14105 (filter pages)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import NotChecked, Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._read import read
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    factor, least = case.limit("factor").value, case.limit("least").value
    for reading in read(case, ("drop",), "filter", "strainer"):
        if isinstance(reading, NotChecked):
            yield reading
            continue
        bypass = reading.part.figure("bypass")
        open_now = bypass is not None and reading.value >= bypass
        if open_now or reading.value > max(least, factor * reading.expected):
            opens = f", bypass opens at {case.bar(bypass)}" if bypass is not None else ""
            yield case.finding(
                f"{reading.part.name} takes {case.bar(reading.value)} in step {reading.step} "
                f"(clean {case.bar(reading.expected)}{opens})",
                reading.part,
                severity=Severity.WARNING if open_now else Severity.ADVICE,
                step=reading.step,
                place=reading.claim.place,
                numbers=(Number("read", reading.value, "pressure"),),
            )


RULE = Rule("filter-drop-reading", Severity.ADVICE, check, Needs.NUMBERS)
