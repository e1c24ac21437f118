"""Tries small changes of a layout and keeps those that make the sheet clearly better.

A change is a symbol drawn mirrored, two neighbours that swap places, or the line of the load
signal led above the actuators. Every change is judged
on the routed sheet by one score: crossings, bends, length of lines, size of the sheet. What
the writer ordered (the row of valves and actuators, the hints) is never touched.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

from circuitcheck.basics.shapes import Pose
from circuitcheck.schematic.case import make_case
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
from circuitcheck.schematic.signals import signal_valves

CLEARLY = 6.0
"""Least gain for which a sheet is changed: more than two bends, less than a crossing."""
SECTIONS = 3
"""Sections of a bank whose signal line may run above the actuators; fewer are better without."""
ENOUGH = 30
"""Parts; a larger sheet is not polished, it would take too long."""
_WORK, _PLACING = 160_000, 6_000
"""Work that searches may do for it, and what placing counts: a bound on the time, about half a
second, that gives the same sheet on every machine."""
_KEPT = 50


@dataclass(frozen=True)
class Polished:
    """The changes found for a sheet, and the sheet itself where it needs no drawing again."""

    moves: Moves
    layout: Layout | None = None


_known: dict[str, Polished] = {}
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


def polish(netlist: Netlist, room: float) -> Polished:
    """Find the changes that make the sheet of a netlist better; its values are not looked at."""
    bare = replace(netlist, items=tuple(_still(item) for item in netlist.items), values=())
    found = _remembered(bare, room)
    same = (bare.items, bare.values) == (netlist.items, netlist.values)
    return found if same else replace(found, layout=None)


def _remembered(bare: Netlist, room: float) -> Polished:
    key = repr((bare.items, bare.nets, bare.hints, bare.hoses, room))
    if key not in _known:
        if len(_known) >= _KEPT:
            _known.clear()
        _known[key] = _found(bare, room)
    return _known[key]


def quick_score(netlist: Netlist, room: float, moves: Moves) -> float:
    """Give the score of a sheet as drawn at first go, infinite if it cannot be placed."""
    tried = _try(netlist, room, moves, set())
    return math.inf if tried is None else tried.score


def _still(item: Item) -> Item:
    """Give an item as it looks in every step: a reading counts with its widest text only."""
    if not item.room_for or item.role == "goes_on":
        return item
    return replace(item, lines=(*item.lines[:1], item.room_for))


def _found(bare: Netlist, room: float) -> Polished:
    seen: set[frozenset[tuple[str, Pose]]] = set()
    signals = len(signal_valves(make_case(bare))) >= SECTIONS
    small = len(bare.items) <= ENOUGH
    if not signals and not small:
        return Polished(AS_USUAL)
    usual = _try(bare, room, AS_USUAL, seen, quick=small)
    if usual is None:
        return Polished(AS_USUAL)
    best = usual
    if signals:
        above = _try(bare, room, Moves(signals_above=True), seen, quick=small)
        if above is not None and above.score < usual.score + CLEARLY:
            best = above
    if not small:
        return Polished(best.moves, best.layout)
    best = _climbed(bare, room, best, seen)
    return Polished(best.moves, lay_out(bare, room, best.moves))


def _climbed(
    bare: Netlist, room: float, best: _State, seen: set[frozenset[tuple[str, Pose]]]
) -> _State:
    """Change a sheet step by step as long as it gets clearly better."""
    work = _WORK
    better: _State | None = best
    while better is not None and work > 0:
        best, better = better, None
        for moves in _changes(best):
            # where neighbours swap places, what stands there may turn
            turns = int(moves.orders != best.moves.orders)
            other = _try(bare, room, moves, seen, turns=turns)
            if other is None:
                continue
            work -= other.layout.work + _PLACING
            if other.score < best.score - CLEARLY:
                better = other
                break
            if work <= 0:
                break
    return best


def _try(
    netlist: Netlist,
    room: float,
    moves: Moves,
    seen: set[frozenset[tuple[str, Pose]]],
    *,
    quick: bool = True,
    turns: int = 0,
) -> _State | None:
    """Draw a sheet; None if it cannot be placed or if it was tried before."""
    try:
        placed = place(netlist, room, moves, turns)
    except UnplaceableError:
        return None
    if placed.poses() in seen:
        return None
    seen.add(placed.poses())
    layout = route(placed, quick=quick)
    return _State(replace(moves, mirrored=placed.mirrored), layout, score_of(layout))


def _changes(state: _State) -> Iterable[Moves]:
    """Give the changes that are worth trying, those of crossing lines first."""
    layout, moves = state.layout, state.moves
    case = layout.case
    busy = _in_crossings(layout)
    items = sorted(case.items.values(), key=lambda i: (i.id not in busy, i.order))
    for item in items:
        free = item.role not in ("valve", "pump", "drive") and item.id not in case.turned
        if item.symbol.may_mirror and free and item.id in busy:
            yield replace(moves, mirrored=(moves.mirrored or frozenset()) ^ {item.id})
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
