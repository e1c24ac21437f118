"""The writer's wishes about places: heeded in the order of things, judged on the sheet."""

from __future__ import annotations

from circuitcheck.schematic.bodies import Body
from circuitcheck.schematic.case import Case
from circuitcheck.schematic.differences import Differences
from circuitcheck.schematic.netlist import Hint
from circuitcheck.schematic.stacks import Stack

_BESIDE = 8.0  # items beside each other are at most so much apart in height [M]

_LEVEL = 20.0  # cost of each module by which items wished beside each other differ


def reorder_row(row: list[str], hint: Hint) -> None:
    """Move an item of a row to the wished side of another one of that row, or between two."""
    if hint.relation == "between" and {hint.first, hint.second, hint.third} <= set(row):
        row.remove(hint.first)
        row.insert(max(row.index(hint.second), row.index(hint.third)), hint.first)
        return
    if hint.relation not in ("left of", "right of"):
        return
    if hint.first not in row or hint.second not in row:
        return
    left = hint.relation == "left of"
    if (row.index(hint.first) < row.index(hint.second)) != left:
        row.remove(hint.first)
        at = row.index(hint.second)
        row.insert(at if left else at + 1, hint.first)


def reorder_stacks(case: Case, stacks: list[Stack], hint: Hint) -> None:
    """Move a stack of the lower band; drives and pumps stay where their shaft holds them."""

    def holds(stack: Stack, name: str) -> bool:
        return any(i == name for i, _ in stack)

    def on_shaft(stack: Stack) -> bool:
        return any(case.is_machine(i) for i, _ in stack)

    moved = next((s for s in stacks if holds(s, hint.first)), None)
    fixed = next((s for s in stacks if holds(s, hint.second)), None)
    if moved is None or fixed is None or moved is fixed or on_shaft(moved):
        return
    if hint.relation not in ("left of", "right of"):
        return
    left = hint.relation == "left of"
    if (stacks.index(moved) < stacks.index(fixed)) == left:
        return
    stacks.remove(moved)
    first = last = stacks.index(fixed)
    if on_shaft(fixed):
        held = [k for k, stack in enumerate(stacks) if on_shaft(stack)]
        first, last = held[0], held[-1]
    stacks.insert(first if left else last + 1, moved)


def wish_levels(
    case: Case, bodies: dict[str, Body], hints: tuple[Hint, ...], lp: Differences
) -> None:
    """Ask for the heights that the writer wished, among items of one band."""
    for hint in hints:
        if not {hint.first, hint.second} <= set(bodies):
            continue
        if (hint.first in case.upper) != (hint.second in case.upper):
            continue
        first, second = bodies[hint.first].symbol.frame, bodies[hint.second].symbol.frame
        if hint.relation == "above":
            lp.should(hint.first, hint.second, first[3] - second[1] + 2)
        elif hint.relation == "below":
            lp.should(hint.second, hint.first, second[3] - first[1] + 2)
        elif hint.relation == "beside":
            middles = (second[1] + second[3] - first[1] - first[3]) / 2
            lp.shorten(hint.second, hint.first, float(round(middles)), _LEVEL)


def unheeded(hints: tuple[Hint, ...], bodies: dict[str, Body]) -> tuple[str, ...]:
    """Name the wishes that the finished sheet does not fulfil."""
    return tuple(
        f"The wish '{hint}' could not be heeded." for hint in hints if not _fulfilled(hint, bodies)
    )


def _fulfilled(hint: Hint, bodies: dict[str, Body]) -> bool:
    named = [name for name in (hint.first, hint.second, hint.third) if name]
    if any(name not in bodies for name in named):
        # tank marks stand below everything, wherever they are drawn
        return hint.relation in ("above", "below")
    first, second = (_middle(bodies[name]) for name in named[:2])
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
        case "between":
            third = _middle(bodies[named[-1]])
            return any(
                min(second[k], third[k]) <= first[k] <= max(second[k], third[k]) for k in (0, 1)
            )


def _middle(body: Body) -> tuple[float, float]:
    x0, y0, x1, y1 = body.symbol.frame
    return (x0 + x1) / 2, (y0 + y1) / 2
