"""Relief valves that stand behind something that can close."""

from __future__ import annotations

from dataclasses import dataclass

from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import Passage, always_open
from circuitcheck.rules._pumps import RELIEFS


@dataclass(frozen=True)
class Blocked:
    """A relief, the element that can cut it off, and when it does."""

    relief: Part
    element: Part
    state: str


def _perhaps(passage: Passage) -> bool:
    return passage.way not in (Way.RELIEF, Way.CROSS, Way.SIGNAL, Way.MOTOR)


def blocked_guard(case: Case, start: str) -> Blocked | None:
    """Give the nearest relief that oil at a junction reaches only past what can close.

    The element is the first on the way to the relief, or from it to the tank, that is not
    always open. None where no relief is there at all.
    """
    network = case.network
    reached = network.reach([start], _perhaps)
    drained = network.reach(network.tanks, _perhaps, backward=True)
    for junction in reached.found:
        for passage in network.out[junction]:
            relief = case.circuit.parts[passage.part]
            if passage.way is not Way.RELIEF or relief.kind.word not in RELIEFS:
                continue
            if passage.stop not in drained:
                continue
            way = [*reached.path(junction), *reversed(drained.path(passage.stop))]
            closing = next((p for p in way if not always_open(p)), None)
            if closing is not None:
                element = case.circuit.parts[closing.part]
                return Blocked(relief, element, how_it_closes(element, closing))
    return None


def how_it_closes(element: Part, passage: Passage) -> str:
    """Say when a passage is closed."""
    if passage.way is Way.SPOOL:
        shut = [name for name in element.positions if name not in passage.positions]
        first = element.rest if element.rest in shut else shut[0] if shut else element.rest
        return f"{element.name} at {first}"
    if passage.way is Way.AGAINST:
        return f"{element.name} lets oil the other way only"
    if passage.way in (Way.PILOTED, Way.LET_GO, Way.SETTING):
        return f"{element.name} not opened"
    if passage.way is Way.THROTTLE:
        return f"{element.name} throttled or closed"
    return f"{element.name} shut"
