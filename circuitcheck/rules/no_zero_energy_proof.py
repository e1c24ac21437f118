"""Volume that stays under pressure and has no gauge.

What is checked
    Every volume that stays under pressure after stop (see stored-energy-after-stop),
    because it is a store, carries a load or is shut by a seat: a gauge, pressure switch or
    test point on it.

Why it matters on the machine
    Release must be proved, not assumed, before somebody loosens a fitting there.

What to do
    A test point beside each bleed, with a gauge that belongs to it.

Limits of this rule
    Lines, filters and coolers between count as joined; throttles and checks do not. What
    only a spool shuts leaks away in minutes and is left out; wait, and read.

Source
    an injury from an unverified zero-energy state: fluid power safety alert; ISO 14118 and
    ISO 12100 clause 6.3.5.4, from memory
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import (
    load_side,
)
from circuitcheck.rules._rule import Outcome, Rule
from circuitcheck.rules._stored import Held, volumes

SHOWS = ("gauge", "test point", "pressure switch")


def check(case: Case) -> Iterator[Outcome]:
    lacking = []
    for held in volumes(case, case.limit("pressure").value):
        junction = case.network.at(held.part.name, held.port)
        region = {} if junction is None else case.facts.region(junction).found
        if _fades(case, held, region):
            continue
        if not any(
            case.circuit.parts[end.part].kind.word in SHOWS
            for name in region
            for end in case.circuit.neighbours(name)
        ):
            lacking.append(held)
    if lacking:
        yield case.finding(
            f"nothing shows whether {', '.join(held.place for held in lacking)} "
            f"{'are' if len(lacking) > 1 else 'is'} empty before somebody opens there",
            lacking[0].part,
            notes=tuple(
                Note(f"{held.place} has no gauge", held.part.place) for held in lacking[1:]
            ),
        )


def _fades(case: Case, held: Held, region: Iterable[str]) -> bool:
    """Whether leakage over a spool lets the pressure go: nothing pushes, and no seat holds."""
    if held.part.kind.word == "accumulator" or load_side(case, held.part) == held.port:
        return False
    return any(passage.way is Way.SPOOL for name in region for passage in case.network.out[name])


RULE = Rule("no-zero-energy-proof", Severity.WARNING, check)
