"""Check valve that looks turned the wrong way.

What is checked
    Where an actuator gets no oil (no-supply-path) or cannot empty (no-return-path) in a
    step: is there exactly one check valve that, turned round, would open the way without
    letting the pump run off to tank?

Why it matters on the machine
    The commonest slip in drafting and assembly; the actuator stands still or locks.

What to do
    Turn the check valve round: oil passes from in to out. Confirm the arrow on the real
    part.

Limits of this rule
    Two checks turned wrong in one way are not found.

Source
    graph logic; in-line checks fitted the wrong way are a told trouble case
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.rules._blocked import reversed_check, without_return, without_supply
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    seen: set[str] = set()
    for gets, cases in (("get oil", without_supply), ("empty", without_return)):
        for blocked in cases(case):
            valve = reversed_check(case, blocked, backward=cases is without_supply)
            if valve is None or valve.name in seen:
                continue
            seen.add(valve.name)
            actuator = blocked.part
            yield case.finding(
                f"check {valve.name} looks reversed: turned round, {actuator.name} would {gets} "
                f"in step {blocked.step.name}",
                valve,
                step=blocked.step.name,
                notes=(Note(f"{actuator.name} cannot move", actuator.place),),
            )


RULE = Rule(
    "check-backwards",
    Severity.ERROR,
    check,
    explains=("no-supply-path", "no-return-path"),
)
