"""Wishes that change in which band and row an item stands, or how it is turned."""

from __future__ import annotations

from typing import TYPE_CHECKING

from circuitcheck.schematic.netlist import Hint

if TYPE_CHECKING:
    from circuitcheck.schematic.case import Case

_LIFTED = ("pressure_control", "check", "line_part", "instrument", "accumulator", "conditioner")
"""Roles that may stand above the rails as well as below them."""


def lift_wished(case: Case, hints: tuple[Hint, ...]) -> None:
    """Lift an item of the lower band that is wished beside one of the upper band, or above it."""
    for hint in hints:
        if not set(hint.items) <= set(case.items):
            continue
        pairs = [hint.items[:2]] if hint.relation in ("above", "beside") else []
        pairs += [hint.items[1::-1]] if hint.relation in ("below", "beside") else []
        for moved, by in pairs:
            free = case.items[moved].role in _LIFTED and not case.is_machine(moved)
            if free and by in case.upper:
                case.upper.add(moved)


def turn_wished(case: Case, hints: tuple[Hint, ...]) -> None:
    """Turn symbols that may be turned, clockwise from how they usually stand on a sheet."""
    for hint in hints:
        if hint.relation == "turned" and hint.first in case.items:
            item = case.items[hint.first]
            if item.symbol.may_turn and not case.in_row(item.id):
                before = case.quarters.get(item.id, 0)
                case.quarters[item.id] = (before + int(hint.second) // 90) % 4
                case.turned.add(item.id)


def raise_wished(case: Case, hints: tuple[Hint, ...]) -> None:
    """Put items of the upper band into the rows that the writer wished; all above rise along."""
    for hint in hints:
        if not set(hint.items) <= set(case.rows):
            continue
        if hint.relation == "beside" and not case.in_row(hint.first):
            case.rows[hint.first] = case.rows[hint.second]
        if hint.relation in ("above", "below"):
            high, low = hint.first, hint.second
            if hint.relation == "below":
                high, low = low, high
            missing = case.rows[low] + 1 - case.rows[high]
            if missing > 0 and not case.in_row(high):
                lifted = _over(case, high) - {low}
                for item in lifted:
                    case.rows[item] += missing


def _over(case: Case, item: str) -> set[str]:
    """Name an item with all that working lines lead up to from it."""
    found, waiting = {item}, [item]
    while waiting:
        here = waiting.pop()
        for net in case.nets_of(here):
            if net.kind != "work" or case.is_rail(net):
                continue
            fresh = {i for i, _ in net.pins if case.rows.get(i, -1) > case.rows[here]} - found
            found |= fresh
            waiting += sorted(fresh)
    return found
