"""Which of the writer's wishes the finished sheet fulfils."""

from __future__ import annotations

from circuitcheck.schematic.bodies import Body
from circuitcheck.schematic.branches import column_of
from circuitcheck.schematic.case import Case
from circuitcheck.schematic.netlist import NUMBERED, Hint

_BESIDE = 8.0  # items beside each other are at most so much apart in height [M]


def unheeded(
    hints: tuple[Hint, ...], case: Case, bodies: dict[str, Body], sheet: int = 1
) -> tuple[str, ...]:
    """Name the wishes that the finished sheet does not fulfil."""
    return tuple(
        f"The wish '{hint}' could not be heeded."
        for hint in hints
        if not _fulfilled(hint, case, bodies, sheet)
    )


def _fulfilled(hint: Hint, case: Case, bodies: dict[str, Body], sheet: int) -> bool:
    if any(name not in bodies for name in hint.items):
        # tank marks stand below everything, wherever they are drawn
        return hint.relation in ("above", "below", "sheet")
    if hint.relation in NUMBERED:
        return _as_numbered(hint, case, bodies, sheet)
    first, second = (bodies[name].middle() for name in hint.items[:2])
    match hint.relation:
        case "above":
            return first[1] < second[1]
        case "below":
            return first[1] > second[1]
        case "left of":
            return first[0] < second[0]
        case "right of":
            return first[0] > second[0]
        case "beside":
            return abs(first[1] - second[1]) <= _BESIDE
    third = bodies[hint.items[-1]].middle()
    return any(min(second[k], third[k]) <= first[k] <= max(second[k], third[k]) for k in (0, 1))


def _as_numbered(hint: Hint, case: Case, bodies: dict[str, Body], sheet: int) -> bool:
    if hint.relation == "turned":
        return hint.first in case.turned
    if hint.relation == "sheet":
        return int(hint.second) == sheet
    return column_of(case, bodies, hint.first) == int(hint.second)
