"""Setting outside the range of its spring.

What is checked
    The setting of every relief, sequence, reducing and counterbalance valve against the
    range of its spring ('adjusts from', 'adjusts to'): an error outside it, a warning
    within 5 % of its ends.

Why it matters on the machine
    It cannot be set so, or does not repeat.

What to do
    Order another spring.

Limits of this rule
    Only where the range is given.

Source
    common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule

KINDS = ("relief", "sequence", "reducing valve", "counterbalance")


def check(case: Case) -> Iterator[Outcome]:
    share = case.limit("share").value
    for valve in case.of_kind(*KINDS):
        setting = valve.figure("set")
        low, high = valve.figure("adjusts from"), valve.figure("adjusts to")
        if setting is None or (low is None and high is None):
            continue
        low = 0.0 if low is None else low
        edge = share * (high - low) if high is not None else share * low
        outside = setting < low or (high is not None and setting > high)
        near = (low > 0.0 and setting < low + edge) or (high is not None and setting > high - edge)
        if outside or near:
            ends = (
                f"{case.bar(low)} to {case.bar(high)}"
                if high is not None
                else f"from {case.bar(low)}"
            )
            yield case.finding(
                f"{valve.name} is set {case.bar(setting)}, its spring goes {ends}"
                f"{'' if outside else ': too near its end'}",
                valve,
                severity=Severity.ERROR if outside else Severity.WARNING,
                numbers=(Number("setting", setting, "pressure"),),
            )


RULE = Rule("setting-outside-range", Severity.ERROR, check)
