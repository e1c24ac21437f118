"""Tries small changes of a layout and keeps those that make the sheet clearly better.

A change is a symbol drawn mirrored or two neighbours that swap places. Every change is judged
on the routed sheet by one score: crossings, bends, length of lines, size of the sheet. What
the writer ordered (the row of valves and actuators, the hints) is never touched.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

from circuitcheck.basics.shapes import Pose
from circuitcheck.schematic.check import Words, bends, crossings, find_faults, length
from circuitcheck.schematic.differences import UnplaceableError
from circuitcheck.schematic.netlist import Hint, Item, Netlist
from circuitcheck.schematic.placing import (
    AS_USUAL,
    Layout,
    Moves,
    frames_of,
    lay_out,
    place,
    route,
    wires_of,
)

CLEARLY = 6.0
"""Least gain for which a sheet is changed: more than two bends, less than a crossing."""
ENOUGH = 30
"""Parts; a larger sheet is not polished, it would take too long."""
_WORK = 200_000
"""Nodes of the grid that searches may look at for it: a bound without a clock."""
_KEPT = 50
_known: dict[str, Moves] = {}
"""What was found for the last sheets: the drawings of all steps of a circuit share it."""


@dataclass(frozen=True)
class _State:
    moves: Moves
    layout: Layout
    score: float


def score_of(layout: Layout) -> float:
    """Give how far a sheet is from beautiful; weights own choice, smaller is better."""
    wires = wires_of(layout)
    x0, y0, x1, y1 = layout.extent()
    size = math.sqrt((x1 - x0) * (y1 - y0)) / 2
    labels = [Words(b.id, b.label_box) for b in layout.bodies.values() if b.label_box]
    wrong = len(layout.missing) + len(find_faults(frames_of(layout), wires, labels))
    lines = 10.0 * crossings(wires) + 3.0 * bends(wires) + 0.1 * length(wires)
    return 100.0 * wrong + lines + size


def polish(netlist: Netlist, room: float) -> Moves:
    """Find the changes that make the sheet of a netlist better; its values are not looked at."""
    if len(netlist.items) > ENOUGH:
        return AS_USUAL
    bare = replace(netlist, items=tuple(_still(item) for item in netlist.items), values=())
    key = repr((bare.items, bare.nets, bare.hints, room))
    if key not in _known:
        if len(_known) >= _KEPT:
            _known.clear()
        _known[key] = _found(bare, room)
    return _known[key]


def _still(item: Item) -> Item:
    """Give an item as it looks in every step: a reading counts with its widest text only."""
    return replace(item, lines=(*item.lines[:1], item.room_for)) if item.room_for else item


def _found(bare: Netlist, room: float) -> Moves:
    seen: set[frozenset[tuple[str, Pose]]] = set()
    best = _try(bare, room, AS_USUAL, seen)
    work = _WORK
    better = best
    while better is not None and work > 0:
        best, better = better, None
        for moves in _changes(best):
            other = _try(bare, room, moves, seen)
            if other is None:
                continue
            work -= other.layout.work
            if other.score < best.score - CLEARLY:
                better = other
                break
            if work <= 0:
                break
    if best is None or best.moves == AS_USUAL:
        return AS_USUAL
    usual, changed = (lay_out(bare, room, moves) for moves in (AS_USUAL, best.moves))
    gained = score_of(usual) - score_of(changed)
    return best.moves if gained > CLEARLY else AS_USUAL


def _try(
    netlist: Netlist, room: float, moves: Moves, seen: set[frozenset[tuple[str, Pose]]]
) -> _State | None:
    """Draw a sheet quickly; None if it cannot be placed or if it was tried before."""
    try:
        placed = place(netlist, room, moves)
    except UnplaceableError:
        return None
    if placed.poses() in seen:
        return None
    seen.add(placed.poses())
    layout = route(placed, quick=True)
    return _State(moves, layout, score_of(layout))


def _changes(state: _State) -> Iterable[Moves]:
    """Give the changes of a sheet worth trying, those of crossing lines first."""
    layout, moves = state.layout, state.moves
    case = layout.case
    busy = _in_crossings(layout)
    items = sorted(case.items.values(), key=lambda i: (i.id not in busy, i.order))
    for item in items:
        if item.symbol.may_mirror and item.role != "valve" and item.id in busy:
            yield replace(moves, flips=moves.flips ^ {item.id})
    for left, right in _neighbours(layout):
        if not {left, right} & busy:
            continue
        if case.is_machine(right):
            swap = Hint(left, "right of", right)
        else:
            swap = Hint(right, "left of", left)
        yield replace(moves, orders=(*moves.orders, swap))


def _in_crossings(layout: Layout) -> set[str]:
    """Name the items on nets that cross another one."""
    found: set[str] = set()
    wires = wires_of(layout)
    pins = {line.net.id: {i for (i, _), _ in line.pins} for line in layout.lines}
    for one, other in combinations(wires, 2):
        if one.net in pins and other.net in pins and crossings([one, other]):
            found |= pins[one.net] | pins[other.net]
    return found


def _neighbours(layout: Layout) -> Iterable[tuple[str, str]]:
    """Give neighbours that may swap places: not two of the parts that the text orders."""
    case, bodies = layout.case, layout.bodies
    groups: dict[object, list[str]] = {}
    for i in case.items:
        groups.setdefault(case.rows[i] if i in case.upper else "below", []).append(i)
    for members in groups.values():
        members.sort(key=lambda i: bodies[i].pose.x)
        for left, right in pairwise(members):
            roles = {case.items[left].role, case.items[right].role}
            if roles <= {"valve", "actuator", "drive", "pump", "load"}:
                continue
            yield left, right
