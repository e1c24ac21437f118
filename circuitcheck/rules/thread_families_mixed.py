"""Several families of threads side by side.

What is checked
    The families of all threaded ports and fittings that the text names: more than one is a
    warning.

Why it matters on the machine
    A mechanic cannot see the difference, and some wrong pairs screw in.

What to do
    As few families as possible; ISO 6149 for new ports.

Limits of this rule
    Flanges are left out: they cannot be mistaken for a thread.

Source
    EN ISO 4413 as quoted by a guidance page
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule

CODES = ("ports", "suction port", "tank port", "drain port", "ends", "near end", "far end")


def check(case: Case) -> Iterator[Outcome]:
    found: dict[str, list[Part]] = {}
    for part in case.circuit.parts.values():
        for name in CODES:
            thread = _fit.thread(_fit.code(part, name))
            if thread is not None and not thread.family.startswith("flange"):
                found.setdefault(thread.family, []).append(part)
    if len(found) < 2:
        return
    rarest = min(found.values(), key=len)
    yield case.finding(
        f"{' and '.join(found)} stand side by side; {len(rarest)} of "
        f"{sum(map(len, found.values()))} places differ from the others",
        rarest[0],
        notes=tuple(
            Note(f"{parts[0].name} has {family}", parts[0].place) for family, parts in found.items()
        ),
    )


RULE = Rule("thread-families-mixed", Severity.WARNING, check)
