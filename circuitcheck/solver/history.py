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
from circuitcheck.solver.system import Case, History

NEAR = 1e-6
"""A rod this near to an end stands at it; a place this near to the last one is it [m]."""

LUKEWARM = 1e-7
"""Gas this near to its temperature of the last round, as a share, is as warm."""

LITTLE = 1e-9
"""Stored oil this near to that of the last round is the same [m3]."""


def followed(found: Answer, before: Answer | None = None) -> History:
    """Follow the steps of a solved case, from rods in and stores empty at the start.

    ``before`` is the answer under the history before this one, which says how the steps take
    to other stores: so what they hold settles in fewer rounds, to the same.
    """
    stopped: dict[str, Bools] = {}
    places: dict[str, Array] = {}
    latched: dict[str, Bools] = {}
    lasts = durations(found)
    for part in found.case.circuit.parts.values():
        if part.figure("stroke") is not None and part.name in found.owners:
            stopped[part.name], places[part.name] = _rod(found, part, lasts)
        if part.kind.latch is not None:
            opens, shuts = part.kind.latch(part, view_of(found, part))
            by_step = found.case.by_step
            first = found.case.begins.latched.get(part.name, np.False_)
            latched[part.name] = _latch(by_step(opens), by_step(shuts), first).ravel()
    return History(stopped, latched, places, _stored(found, lasts, before), _excess(found), lasts)


def differing(old: History, new: History, case: Case) -> Bools:
    """Where two histories lead to other equations, shape (variants,)."""
    found = (
        _apart(old.stopped, new.stopped, 0.5, case.variants)
        | _apart(old.latched, new.latched, 0.5, case.variants)
        | _apart(old.places, new.places, NEAR, case.variants)
        | _apart(old.stored, new.stored, LITTLE, case.variants)
        | _apart(old.excess, new.excess, LUKEWARM, case.variants)
    )
    if new.stored and new.durations is not None:
        before = np.zeros(case.variants) if old.durations is None else old.durations
        found |= np.abs(new.durations - before) > 1e-6 * new.durations
    return found


def durations(found: Answer) -> Array:
    """Duration of every step [s]: as said, else the longest of its ways, else zero."""
    case = found.case
    lasts: Array = case.spread([step.duration or 0.0 for step in case.steps])
    open_ = case.spread([step.duration is None for step in case.steps])
    for part in case.circuit.parts.values():
        if any("travels" in orders.figures for orders in case.orders(part.name)):
            way, speed = case.order_of(part)("travels", 0.0), np.abs(found.speed(part.name))
            counts = open_ & (speed > 2.0 * STILL_ROD)
            lasts[counts] = np.maximum(lasts, way / np.maximum(speed, STILL_ROD))[counts]
    return lasts


def _apart(
    old: Mapping[str, Array | Bools], new: Mapping[str, Array | Bools], room: float, variants: int
) -> Bools:
    """Where anything is not within ``room`` of what it was; what is not there counts as zero."""
    found = np.zeros(variants, dtype=bool)
    for name, now in new.items():
        was = np.asarray(old.get(name, 0.0), dtype=float)
        found |= np.abs(now.astype(float) - was) > room
    return found


def _latch(opens: Bools, shuts: Bools, first: Bools | np.bool_) -> Bools:
    """Follow a state over the steps, arrays of shape (steps, variations)."""
    state = np.zeros(opens.shape[1], dtype=bool) | first
    found = np.zeros_like(opens)
    for i in range(len(opens)):
        state = opens[i] | (state & ~shuts[i])
        found[i] = state
    return found


def _stored(found: Answer, lasts: Array, before: Answer | None) -> dict[str, Array]:
    """Oil that each store holds when a step begins.

    A step was solved with what the store was thought to hold. Where it holds something else,
    a step that fills or empties it ends the same all the same, and one with a pump of a given
    flow adds the same: what is in between is told by the last two rounds.
    """
    case = found.case
    changes = _changes(found, lasts)
    old = {} if before is None else _changes(before, durations(before))
    stored: dict[str, Array] = {}
    for name, change in changes.items():
        thought = case.by_step(case.stored(name))
        slope = np.zeros_like(change)
        if before is not None and name in old and old[name].shape == change.shape:
            moved = thought - case.by_step(before.case.stored(name))
            some = np.abs(moved) > LITTLE
            found_slope = (change - old[name]) / np.where(some, moved, 1.0)
            slope = np.clip(np.where(some, found_slope, 0.0), -1.0, 0.0)
        start = np.zeros_like(change)
        held = _figure(case, case.circuit.parts[name], "at start")
        for step in range(len(start)):
            start[step] = held
            now = change[step] + slope[step] * (held - thought[step])
            held = np.maximum(held + now, 0.0)
        stored[name] = start.ravel()
    return stored


def _changes(found: Answer, lasts: Array) -> dict[str, Array]:
    """Oil that each step puts into each store, (steps, variations)."""
    by_step = found.case.by_step
    return {
        element.part: by_step(found.values[i]["flow"] * lasts)
        for i, element in enumerate(found.system.elements)
        if element.law in STORES
    }


def _figure(case: Case, part: Part, name: str) -> Array:
    """A figure of a part in each variation, zero where there is none."""
    value = case.value_of(part)(name)
    every = np.broadcast_to(np.asarray(0.0 if value is None else value), (case.variants,))
    first: Array = case.by_step(every)[0]
    return first


def _excess(found: Answer) -> dict[str, Array]:
    """Share by which the gas of each store is warmer than its wall when a step begins."""
    by_step = found.case.by_step
    excess: dict[str, Array] = {}
    for i, element in enumerate(found.system.elements):
        if element.law == "warm_store":
            after = by_step(found.values[i]["excess"])
            first = found.case.begins.excess.get(element.part, np.zeros(1))
            before = np.broadcast_to(first, after[:1].shape)
            excess[element.part] = np.concatenate([before, after[:-1]]).ravel()
    return excess


def _rod(found: Answer, part: Part, lasts: Array) -> tuple[Bools, Array]:
    """Where a rod stands against an end unasked, and its place in the middle of each step.

    A rod that no step orders to move would run on past the end it stands at. What is
    stopped already stays so.
    """
    case = found.case
    stroke, start_at = _figure(case, part, "stroke"), _figure(case, part, "at start")
    all_speeds = found.speed(part.name)
    before = case.history.stopped.get(part.name, np.zeros(case.variants, dtype=bool))
    speeds, lasts, stopped = (case.by_step(a.copy()) for a in (all_speeds, lasts, before))
    middle = np.zeros(speeds.shape)
    place = start_at
    ways = case.by_step(case.order_of(part)("travels", np.nan))
    for i, orders in enumerate(case.orders(part.name)):
        way, speed = ways[i], speeds[i]
        moving = np.abs(speed) > STILL_ROD
        if "travels" not in orders.figures and "load" not in orders.figures:
            beyond = np.where(speed < 0.0, place <= NEAR, place >= stroke - NEAR)
            stopped[i] |= moving & beyond
        start = place
        on = np.where(np.isnan(way), speed * lasts[i], np.sign(speed) * way)
        moved = np.clip(place + on, 0.0, stroke)
        place = np.where(moving & ~stopped[i], moved, place)
        middle[i] = 0.5 * (start + place)
    return stopped.ravel(), middle.ravel()
