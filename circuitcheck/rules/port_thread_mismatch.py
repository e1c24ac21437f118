"""Fitting that does not belong into its port.

What is checked
    At every end of a line: the thread or flange of its fitting against that of the port it
    is screwed into, where both are given. Family and size must agree.

Why it matters on the machine
    Some pairs screw together and then let go under pressure: G 1/2 into M22x1.5, taper pipe
    thread into NPT.

What to do
    An adapter with the right seal; prefer one family of threads.

Limits of this rule
    Codes that are not known are compared letter by letter. Ports that share a junction
    without a line of their own are not looked at.

Source
    G 1/2 and M22x1.5, and the remark of ISO 4413 on intermixing: guidance page on EN ISO
    4413
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule

FLANGES = "flange"


def check(case: Case) -> Iterator[Outcome]:
    for line, end, part, port in _fit.screwed_pairs(case):
        own, other = _fit.port_code(line, end), _fit.port_code(part, port)
        if not own or not other:
            if own or other:
                lacks = line if not own else part
                yield case.not_checked(lacks.name, "thread of its ports")
            continue
        ours, theirs = _fit.thread(own), _fit.thread(other)
        if own == other or (ours is not None and ours == theirs):
            continue
        if (
            ours
            and theirs
            and ours.family.startswith(FLANGES)
            and theirs.family.startswith(FLANGES)
        ):
            continue  # flange-series-mixed speaks of these
        yield case.finding(
            f"{line.name} ends in {ours or own}, {port or 'the port'} of {part.name} is "
            f"{theirs or other}",
            line,
            notes=(Note(f"{part.name} has {other}", part.place),),
        )


RULE = Rule("port-thread-mismatch", Severity.ERROR, check)
