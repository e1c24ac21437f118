"""Rows of the upper band: how high each part stands above the rails, the supply lowest."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from circuitcheck.schematic.netlist import CONTROL_KINDS, STANDING, Net
from circuitcheck.schematic.signals import signal_shuttles

if TYPE_CHECKING:
    from circuitcheck.schematic.case import Case


def _edges(case: Case) -> Iterable[tuple[str, str]]:
    """Give pairs (lower item, upper item) that a working line joins from top to bottom."""
    for net in case.nets.values():
        if net.kind in CONTROL_KINDS:
            continue
        for low in net.pins:
            for high in net.pins:
                both = low[0] in case.upper and high[0] in case.upper
                if both and case.side(low) == "N" and case.side(high) == "S":
                    yield low[0], high[0]


def set_rows(case: Case) -> None:
    """Count the rows of the upper band by the longest way up from the rails."""
    edges = [
        (a, b)
        for a, b in _edges(case)
        if case.items[b].role not in STANDING and not _in_one_bank(case, a, b)
    ]
    edges = _without_circles(case, edges)
    control = {
        i
        for i in case.above()
        if case.items[i].role == "shuttle" and all(n.kind in CONTROL_KINDS for n in case.nets_of(i))
    }
    highest = signal_shuttles(case) if case.signals_above else []
    first = 1 if control.difference(highest) else 0
    rows = {i: 0 if i in control else first for i in case.above()}
    comps = any(case.items[i].role == "compensator" for i in case.above())
    if comps:
        rows = {i: 0 if case.items[i].role == "compensator" else rows[i] for i in rows}
    valves = [
        i
        for i in case.above()
        if case.items[i].role == "valve"
        and any(case.is_rail(n) or _from_compensator(case, i, n) for n in case.nets_of(i))
    ]
    for _ in range(len(case.upper)):
        before = dict(rows)
        for low, high in edges:
            if low != high and rows[high] <= rows[low] < len(case.upper):
                rows[high] = rows[low] + 1
        level = max((rows[i] for i in valves), default=0)
        rows.update(dict.fromkeys([i for i in valves if _is_root(case, i)], level))
        if rows == before:
            break
    _rows_of_side_parts(case, rows, control)
    top = max(rows.values(), default=0)
    movers = [i for i in case.above() if case.items[i].role == "actuator"]
    top = max([top, *(rows[i] + 1 for i in case.above() if case.items[i].role == "valve")])
    rows.update(dict.fromkeys(movers, top))
    for net in case.shafts:
        driven = [i for i, _ in net.pins if i in rows and case.items[i].role == "load"]
        rows.update(dict.fromkeys(driven, top + 1))
    rows.update({i: top for row in case.shaft_rows for i in row})
    if case.signals_above:
        above = dict.fromkeys(signal_shuttles(case), max(rows.values(), default=0) + 1)
        rows.update(above)
    case.rows = _without_empty_rows(rows)


def _is_root(case: Case, item: str) -> bool:
    return any(
        (case.is_rail(n) and n.kind in ("pressure", "charge")) or _from_compensator(case, item, n)
        for n in case.nets_of(item)
    )


def _without_circles(case: Case, edges: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Drop what would put a part above itself; actuators, then valves, keep their place."""
    weight = {"actuator": 0, "valve": 1}
    above: dict[str, set[str]] = {}
    kept = []
    for low, high in sorted(edges, key=lambda e: weight.get(case.items[e[1]].role, 2)):
        reached, frontier = {high}, [high]
        while frontier:
            fresh = above.get(frontier.pop(), set()) - reached
            reached |= fresh
            frontier += fresh
        if low not in reached:
            above.setdefault(low, set()).add(high)
            kept.append((low, high))
    return kept


def _in_one_bank(case: Case, low: str, high: str) -> bool:
    """Tell whether two valves are fed by one supply: then they stand side by side."""
    valves = case.items[low].role == case.items[high].role == "valve"
    return valves and _is_root(case, low) and _is_root(case, high)


def _from_compensator(case: Case, item: str, net: Net) -> bool:
    return any(case.items[i].role == "compensator" for i, _ in net.pins if i != item) and (
        net.kind not in CONTROL_KINDS
    )


def _rows_of_side_parts(case: Case, rows: dict[str, int], control: set[str]) -> None:
    """Put shuttles between work lines above their valve, and instruments above their line."""
    for i in sorted(case.upper, key=lambda k: case.items[k].order):
        item = case.items[i]
        if i in control:
            continue
        nets = case.nets_of(i)
        below = [
            rows[k]
            for net in nets
            for k, port in net.pins
            if k in rows and k != i and case.side((k, port)) == "N"
            if net.kind == "work" or not case.is_rail(net)
        ]
        if item.role == "shuttle" and below:
            rows[i] = max(below) + 1
        elif item.role == "pressure_control" and case.tanks[i] and below:
            rows[i] = max(below)
        elif item.role in STANDING:
            if below:
                rows[i] = max(below) + 1
            else:
                rows[i] = 0


def _without_empty_rows(rows: dict[str, int]) -> dict[str, int]:
    used = sorted(set(rows.values()))
    return {i: used.index(row) for i, row in rows.items()}
