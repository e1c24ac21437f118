"""The writer's wishes about places, heeded in the order of things and in their distances."""

from __future__ import annotations

from circuitcheck.schematic.bodies import Body
from circuitcheck.schematic.case import Case
from circuitcheck.schematic.differences import Differences
from circuitcheck.schematic.netlist import NUMBERED, Hint
from circuitcheck.schematic.stacks import Stack

_APART = 2.0  # least distance of the middles of items wished beside each other [M]

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


def wish_places(
    bodies: dict[str, Body], guess: dict[str, float], hints: tuple[Hint, ...], lp: Differences
) -> None:
    """Ask for the order from left to right that the writer wished, wherever things stand."""
    for hint in hints:
        if not set(hint.items) <= set(bodies):
            continue
        if hint.relation == "left of":
            _ask_left(bodies, hint.first, hint.second, lp)
        elif hint.relation == "right of":
            _ask_left(bodies, hint.second, hint.first, lp)
        elif hint.relation == "between" and {hint.second, hint.third} <= set(guess):
            left, right = sorted((hint.second, hint.third), key=guess.__getitem__)
            _ask_left(bodies, left, hint.first, lp)
            _ask_left(bodies, hint.first, right, lp)


def _ask_left(bodies: dict[str, Body], left: str, right: str, lp: Differences) -> None:
    lp.should(left, right, bodies[left].middle()[0] - bodies[right].middle()[0] + _APART)


def wish_levels(
    case: Case, bodies: dict[str, Body], hints: tuple[Hint, ...], lp: Differences
) -> None:
    """Ask for the heights that the writer wished, among items of one band."""
    for hint in hints:
        if hint.relation in NUMBERED or not set(hint.items) <= set(bodies):
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
