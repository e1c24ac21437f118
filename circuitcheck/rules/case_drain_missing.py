"""Case without a way to the tank.

What is checked
    Every pump and motor whose type has a case port (variable pumps, piston units): the port
    is piped, and there is a way from it to a tank.

Why it matters on the machine
    Internal leakage fills the case and bursts the shaft seal within seconds.

What to do
    Run a line of its own from the case port to the tank, from the upper port so that the
    case stays full.

Limits of this rule
    A rear unit that drains through its neighbour is reported as well; the language has no
    words for it yet. What can close a drain is the matter of shut-off-in-case-drain.

Source
    education page on draining pumps and motors; exception of rear units: trade column
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._drains import CASE, drain_path, with_case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for part in with_case(case):
        if drain_path(case, part) is not None:
            continue
        joined = case.network.at(part.name, CASE) is not None
        state = "is piped, but leads to no tank" if joined else "has no line"
        yield case.finding(
            f"case of {part.name} has no way to tank (port {CASE} {state}); leakage will burst "
            "the shaft seal",
            part,
            port=CASE,
        )


RULE = Rule("case-drain-missing", Severity.ERROR, check, explains=("case-pressure-high",))
