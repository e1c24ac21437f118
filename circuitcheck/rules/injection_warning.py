"""Places that people open or feel, with pressure that breaks skin.

What is checked
    Quick couplings and hoses 'near people' that see more than 7 bar (100 psi) in any solved
    step. They are listed in one finding.

Why it matters on the machine
    A jet from a pinhole breaks skin from about 7 bar and goes through gloves; an injection
    is an emergency for a surgeon.

What to do
    Print the cautions with every report; never feel for a leak; depressurise before a
    coupling is parted.

Limits of this rule
    Every other place in the circuit deserves the same care: the cautions at the end of each
    report speak of all of them.

Source
    100 psi: J. Clin. Med. 14(1), 72 (2025), introduction; no part of the body to find or
    stop a leak: Washington Administrative Code 296-45-285
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    limit = case.limit("may_be_felt").value
    found: list[tuple[float, Part]] = []
    for part in case.circuit.parts.values():
        line = part.kind.word == "line" and part.says("near people")
        if not line and part.kind.word != "quick coupling":
            continue
        pressures = [
            state.pressure for p in case.points for state in p.parts[part.name].ports.values()
        ]
        highest = max((value for value in pressures if not math.isnan(value)), default=0.0)
        if highest > limit:
            found.append((highest, part))
    if found:
        highest, _ = max(found, key=lambda pair: pair[0])
        names = ", ".join(part.name for _, part in found)
        yield case.finding(
            f"{names}: up to {case.bar(highest)} where people open or feel; a pinhole jet goes "
            f"through skin from about {case.bar(limit)}",
            found[0][1],
            numbers=(Number("pressure", highest, "pressure"),),
        )


RULE = Rule("injection-warning", Severity.ADVICE, check, Needs.NUMBERS)
