"""Port with nothing on it.

What is checked
    Every port that its part needs stands on a line or is marked `plugged`.

Why it matters on the machine
    An open port is a spill; a forgotten pilot or drain stops the valve.

What to do
    Add a line from the port, or mark it plugged in the parts list.

Limits of this rule
    A text with an open port is refused when it is read; this rule is for circuits that are
    made or changed through the Python interface.

Source
    graph logic; ISO 4413:1998 clause 5.8, ports (clause list read)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for part in case.circuit.parts.values():
        for port in part.ports:
            if (
                port.needed
                and case.network.at(part.name, port.letter) is None
                and port.letter not in part.plugged
            ):
                yield case.finding(
                    f"port {port.letter} of {part.name} is not connected",
                    part,
                    port=port.letter,
                )


RULE = Rule(
    "port-not-connected",
    Severity.ERROR,
    check,
    explains=("no-supply-path", "no-return-path", "unprotected-pump"),
)
