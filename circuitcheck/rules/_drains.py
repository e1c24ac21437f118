"""Case drains of pumps and motors: where they go, and what stands in the way."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.components._parts import Part, PortKind
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import Passage

CASE = "L"
"""Port letter of a case drain."""


def with_case(case: Case) -> list[Part]:
    """Pumps and motors whose type has a case port that it needs."""
    return [
        part
        for part in case.of_kind("pump", "motor")
        if any(p.letter == CASE and p.kind is PortKind.DRAIN and p.needed for p in part.ports)
    ]


def any_way(passage: Passage) -> bool:
    """Every passage that can be open in some state, checks in their free direction only."""
    return passage.way not in (Way.AGAINST, Way.SIGNAL, Way.RELIEF, Way.CROSS)


def drain_path(case: Case, part: Part) -> list[Passage] | None:
    """Shortest way from a case to a tank, whatever stands on it; None if there is none."""
    junction = case.network.at(part.name, CASE)
    if junction is None:
        return None
    reached = case.network.reach([junction], any_way)
    tank = reached.any_of(case.network.tanks)
    return None if tank is None else reached.path(tank)


def closing(case: Case, part: Part, check_above: float) -> Iterator[Part]:
    """Parts on the way from a case to the tank that can close or throttle it.

    None where another way is always free.
    """
    junction = case.network.at(part.name, CASE)
    if junction is None:
        return

    def free(passage: Passage) -> bool:
        return not _throttles(case, passage, check_above)

    if case.network.reach([junction], free).any_of(case.network.tanks) is not None:
        return
    for passage in drain_path(case, part) or ():
        if _throttles(case, passage, check_above):
            yield case.circuit.parts[passage.part]


def _throttles(case: Case, passage: Passage, check_above: float) -> bool:
    part = case.circuit.parts[passage.part]
    if passage.way is Way.CHECK and part.kind.word == "check":
        return (part.figure("cracking") or 0.0) > check_above
    if passage.way is Way.OPEN and part.kind.word == "filter":
        return part.figure("bypass") is None
    return passage.way not in (Way.OPEN, Way.CHECK)
