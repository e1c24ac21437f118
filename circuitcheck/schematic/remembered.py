"""Layouts made before: the drawings of all steps of a circuit stand on the same ones."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from circuitcheck.schematic.differences import UnplaceableError
from circuitcheck.schematic.label_room import with_air
from circuitcheck.schematic.netlist import Netlist
from circuitcheck.schematic.placing import Layout, Moves, lay_out
from circuitcheck.schematic.polish import quick_score

_KEPT = 60
"""Layouts that are kept: those of a few circuits, each with all rooms that are tried."""
_Key = tuple[str, float, Moves]
_layouts: dict[_Key, Layout | str] = {}
_scores: dict[_Key, float] = {}
_Made = TypeVar("_Made")


def laid_out(netlist: Netlist, room: float, moves: Moves, ready: Layout | None = None) -> Layout:
    """Lay out a netlist, its labels with air; ``ready`` is its layout where that is known.

    UnplaceableError as `lay_out` says.
    """

    def make() -> Layout | str:
        try:
            return with_air(ready or lay_out(netlist, room, moves))
        except UnplaceableError as problem:
            return str(problem)

    found = _remembered(_layouts, (netlist.placed_by, room, moves), make)
    if isinstance(found, str):
        raise UnplaceableError(found)
    return found


def scored(netlist: Netlist, room: float, moves: Moves) -> float:
    """Give the quick score of a netlist (`quick_score`)."""
    key = netlist.placed_by, room, moves
    return _remembered(_scores, key, lambda: quick_score(netlist, room, moves))


def _remembered(kept: dict[_Key, _Made], key: _Key, make: Callable[[], _Made]) -> _Made:
    if key not in kept:
        if len(kept) >= _KEPT:
            kept.clear()
        kept[key] = make()
    return kept[key]
