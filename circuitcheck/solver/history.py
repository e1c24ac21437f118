"""Follows what earlier steps leave to later ones: ends reached, latches, places, stored oil."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from circuitcheck.components._parts import Part
from circuitcheck.laws.library import STORES
from circuitcheck.laws.machines import STILL_ROD
from circuitcheck.laws.net import Bools
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.results import view_of
from circuitcheck.solver.system import History

NEAR = 1e-6
"""A rod this near to an end stands at it; a place this near to the last one is it [m]."""

LUKEWARM = 1e-7
"""Gas this near to its temperature of the last round, as a share, is as warm."""

LITTLE = 1e-9
"""Stored oil this near to that of the last round is the same [m3]."""


def followed(found: Answer) -> History:
    """Follow the steps of a solved case, from rods in and stores empty at the start."""
    stopped: dict[str, Bools] = {}
    places: dict[str, Array] = {}
    latched: dict[str, Bools] = {}
    lasts = _durations(found)
    for part in found.case.circuit.parts.values():
        if part.figure("stroke") is not None and part.name in found.owners:
            stopped[part.name], places[part.name] = _rod(found, part, lasts)
        if part.kind.latch is not None:
            opens, shuts = part.kind.latch(part, view_of(found, part))
            latched[part.name] = _latch(opens, shuts)
    return History(stopped, latched, places, _stored(found, lasts), _excess(found), lasts)


def same(old: History, new: History) -> bool:
    """Whether two histories lead to the same equations."""
    return (
        _equal(old.stopped, new.stopped, 0.5)
        and _equal(old.latched, new.latched, 0.5)
        and _equal(old.places, new.places, NEAR)
        and _equal(old.stored, new.stored, LITTLE)
        and _equal(old.excess, new.excess, LUKEWARM)
        and (not new.stored or _lasts_as_long(old.durations, new.durations))
    )


def _lasts_as_long(old: Array | None, new: Array | None) -> bool:
    if old is None or new is None:
        return new is None or not new.any()
    return bool(np.all(np.abs(new - old) <= 1e-6 * new))


def _durations(found: Answer) -> Array:
    """Duration of every step [s]: as said, else the longest of its ways, else zero."""
    case = found.case
    lasts = np.array([step.duration or 0.0 for step in case.steps])
    for i, step in enumerate(case.steps):
        if step.duration is not None:
            continue
        for name, orders in step.orders.items():
            way = orders.figures.get("travels")
            speed = abs(float(found.speed(name)[i])) if way is not None else 0.0
            if way is not None and speed > 2.0 * STILL_ROD:
                lasts[i] = max(lasts[i], way.value / speed)
    return lasts


def _equal(old: Mapping[str, Array | Bools], new: Mapping[str, Array | Bools], room: float) -> bool:
    """What is not there counts as zero."""
    return all(
        np.all(np.abs(now.astype(float) - np.asarray(old.get(name, 0.0), dtype=float)) <= room)
        for name, now in new.items()
    )


def _latch(opens: Bools, shuts: Bools) -> Bools:
    state = False
    found = np.zeros(len(opens), dtype=bool)
    for i in range(len(opens)):
        state = bool(opens[i]) or (state and not shuts[i])
        found[i] = state
    return found


def _stored(found: Answer, lasts: Array) -> dict[str, Array]:
    """Oil that each store holds when a step begins."""
    stored: dict[str, Array] = {}
    for i, element in enumerate(found.system.elements):
        if element.law not in STORES:
            continue
        start = np.zeros(found.case.variants)
        held = found.case.circuit.parts[element.part].figure("at start") or 0.0
        for v in range(found.case.variants):
            start[v] = held
            held = max(held + float(found.values[i]["flow"][v]) * lasts[v], 0.0)
        stored[element.part] = start
    return stored


def _excess(found: Answer) -> dict[str, Array]:
    """Share by which the gas of each store is warmer than its wall when a step begins."""
    return {
        element.part: np.concatenate([[0.0], found.values[i]["excess"][:-1]])
        for i, element in enumerate(found.system.elements)
        if element.law == "warm_store"
    }


def _rod(found: Answer, part: Part, lasts: Array) -> tuple[Bools, Array]:
    """Where a rod stands against an end unasked, and its place in the middle of each step.

    A rod that no step orders to move would run on past the end it stands at. What is
    stopped already stays so.
    """
    case = found.case
    stroke = part.figure("stroke") or 0.0
    speed = found.speed(part.name)
    stopped = case.history.stopped.get(part.name, np.zeros(case.variants, dtype=bool)).copy()
    middle = np.zeros(case.variants)
    place = part.figure("at start") or 0.0
    for i, orders in enumerate(case.orders(part.name)):
        way = orders.figures.get("travels")
        moving = abs(speed[i]) > STILL_ROD
        if way is None and "load" not in orders.figures:
            beyond = place <= NEAR if speed[i] < 0.0 else place >= stroke - NEAR
            stopped[i] |= moving and beyond
        before = place
        if moving and not stopped[i]:
            on = speed[i] * lasts[i]
            place += on if way is None else np.sign(speed[i]) * way.value
            place = min(max(place, 0.0), stroke)
        middle[i] = 0.5 * (before + place)
    return stopped, middle
