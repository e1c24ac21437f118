"""What a hydraulic motor turns through several parts: one level row, the motor at its left."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from circuitcheck.schematic.netlist import Net

if TYPE_CHECKING:
    from circuitcheck.schematic.case import Case

OUTLETS = ("through", "shaft out")
"""Ports where a part of a row lets the shaft out again, to the right."""


def shaft_row(case: Case, motor: str) -> tuple[str, ...]:
    """Name a motor and all it turns, from left to right; empty if it is not to be a row.

    A single load stands straight above its motor. Where two parts of one shaft turn further
    parts the shaft has two branches, which one row cannot show.
    """
    row = [motor]
    here = _driven_net(case, motor)
    while here is not None:
        turned = [i for i, _ in here.pins if i != row[-1]]
        branches = [i for i in turned if _driven_net(case, i) is not None]
        if len(branches) > 1:
            return ()
        ends = sorted((i for i in turned if i not in branches), key=lambda i: _place(case, i))
        row += [*ends, *branches]
        here = _driven_net(case, branches[0]) if branches else None
    plain = len(row) == 2 and case.items[row[1]].role == "load"
    fits = all(_fits(case, i) for i in row[1:])
    return tuple(row) if len(row) > 1 and fits and not plain else ()


def set_up_rows(case: Case) -> None:
    """Find the rows of a case, give their parts the form for it and lift them to the motor."""
    for motor in (i for i in case.items if case.items[i].symbol.in_row is not None):
        if case.items[motor].role != "actuator":
            continue
        row = shaft_row(case, motor)
        if row:
            case.shaft_rows.append(row)
            case.upper.update(row)
    for i in (i for row in case.shaft_rows for i in row):
        symbol = case.items[i].symbol
        form = symbol.in_row or replace(symbol, may_mirror=False, may_turn=False)
        case.items[i] = replace(case.items[i], symbol=form)


def outlet(ports: Iterable[str]) -> str:
    """Give the port where the shaft leaves a part of a row; a motor has only its shaft."""
    return next((port for port in OUTLETS if port in ports), "shaft")


def _driven_net(case: Case, item: str) -> Net | None:
    """Give the shaft by which an item turns others."""
    return next((net for net in case.shafts if net.pins[0][0] == item), None)


def _fits(case: Case, item: str) -> bool:
    symbol = case.items[item].symbol
    level = symbol.in_row or symbol
    return level.anchors["shaft"].side == "W" and case.items[item].role in ("line_part", "load")


def _place(case: Case, item: str) -> tuple[bool, int]:
    """Order what sits on one shaft: brakes at the motor, loads at the end."""
    return case.items[item].role == "load", case.items[item].order
