"""A cycle followed until it begins as it ended, at one temperature of the oil or at many.

Where a valve latches (an unloading valve when the store is full), the piece is cut again and
again, so that the rest of the step has it latched.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from circuitcheck.circuit.model import Circuit
from circuitcheck.components._parts import Figure, Part
from circuitcheck.laws.library import STORES
from circuitcheck.laws.net import Bools
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.equations import Ints
from circuitcheck.solver.history import durations
from circuitcheck.solver.settling import settle
from circuitcheck.solver.system import Begins, Case, History
from circuitcheck.studies.cycle import Cycle

LAPS, FEW_LAPS, LEAP = 24, 3, 3
"""Cycles after which stores must have come to what they hold at every start, the same where a
lap nearby does not come to it, and after how many a short cut is tried. Own choice: in all
our circuits with stores that come to rest it took five at most."""

SAME, AS_WARM = 1e-5, 1e-4
"""What a store holds is the same within this share of its volume, its gas as warm within
this share of its temperature; own choice."""

BOLDEST = 0.95
"""Slope up to which a cycle's effect on a store is extended; own choice."""


CUTS, FINEST, MORE = 4, 0.02, 1.5
"""Times that a piece in which a valve latches is halved; the share of the cycle that is fine
enough; times the pieces at first that there may be: where a valve latches and lets go again
and again, cutting finds no end. Own choice."""


@dataclass(frozen=True)
class Lap:
    """A cycle as it is gone through over and over, in every variation (a temperature each).

    ``stored``: oil that each store holds at the beginning [m3], ``gains``: what it holds more
    at the end, ``excess`` as `Begins` has it; ``repeats`` marks variations that end as they
    begin, ``settled`` those whose steps settle; arrays (variations,). ``laps``: cycles
    reckoned.
    """

    cycle: Cycle
    answer: Answer
    stored: dict[str, Array]
    gains: dict[str, Array]
    excess: dict[str, Array]
    repeats: Bools
    settled: Bools
    laps: int

    @property
    def time(self) -> Array:
        """Duration of every piece [s], (pieces, variations)."""
        found: Array = self.answer.case.by_step(durations(self.answer))
        return found

    @property
    def solved(self) -> Bools:
        """Variations of which every piece has an operating point, (variations,)."""
        found: Bools = self.answer.case.by_step(self.answer.found.solved).all(axis=0)
        return found & self.settled


def sharpened(first: Lap) -> Lap:
    """Cut the pieces in which a valve latches, or lets go, as it happens at one temperature."""
    found, cycle = first, first.cycle
    for _ in range(CUTS):
        time = found.time[:, 0]
        switching = _switching(found) & (time > FINEST * np.sum(time))
        count = len(time) + np.count_nonzero(switching)
        if not switching.any() or count > MORE * len(first.cycle.steps):
            break
        shares, number = [], 0
        for row in cycle.shares:
            cut: list[float] = []
            for share in row:
                cut += [0.5 * share] * 2 if switching[number] else [share]
                number += 1
            shares.append(tuple(cut))
        cycle = replace(cycle, shares=tuple(shares))
        found = lap(cycle, _temperatures(found), found)
    return found


def _temperatures(found: Lap) -> Array:
    degC: Array = found.answer.case.by_step(found.answer.system.oil.degC)[0]
    return degC


def _switching(found: Lap) -> Bools:
    """Pieces at whose end a valve is latched and at whose beginning it is not, or the reverse."""
    switching = np.zeros(len(found.cycle.steps), dtype=bool)
    for state in found.answer.case.history.latched.values():
        switching |= state != np.roll(state, 1)
    return switching


def lap(
    cycle: Cycle,
    degC: Sequence[float] | Array,
    near: Lap | None = None,
    steps: Answer | None = None,
) -> Lap:
    """Go through a cycle until its stores end with what they began with.

    Parameters
    ----------
    cycle
    degC
        Temperatures of the oil [degC], one for each variation
    near
        A lap of nearly the same cycle, to begin with what it has found at the nearest of its
        temperatures; which way oil leads a part is taken over, for valves decide it
    steps
        The steps of the circuit, solved; where to look first without a lap

    Returns
    -------
    Lap
        ``repeats`` is false where the stores did not come to rest within 24 cycles, or within
        three where those of ``near`` did not.
    """
    warm = np.asarray(degC, dtype=float)
    many = len(warm)
    names = [part.name for part in cycle.stores]
    held = {name: _figure(cycle.circuit.parts[name], "at start", many) for name in names}
    excess = {name: np.zeros(many) for name in names}
    latched: dict[str, Bools] = {}
    history = History()
    directions: dict[str, Array] | None = None
    start: Array | None = None
    if near is not None:
        at = _nearest(near, warm)
        held = {name: row[at] for name, row in near.stored.items()}
        excess = {name: row[at] for name, row in near.excess.items()}
        latched = {name: row[at] for name, row in _latches(near.answer).items()}
        history, directions, start = _taken_over(near, cycle, at)
    elif steps is not None and steps.case.variants == len(cycle.circuit.steps):
        owners = np.repeat(cycle.owner, many)
        directions = {name: row[owners] for name, row in steps.case.directions.items()}
        start = steps.whole[:, owners]
    before: Answer | None = None
    last: tuple[Array, Array] | None = None
    state = _stacked(held, excess)
    laps, most = 0, LAPS if near is None or near.repeats.any() else FEW_LAPS
    while True:
        laps += 1
        circuit, changes = _beginning(cycle, warm, held)
        begins = Begins(latched, excess)
        case = Case(circuit, cycle.steps, changes, history=history, variations=many, begins=begins)
        settled = settle(case, many > 1, before, directions, start)
        before = settled.answer
        end_held, end_excess = _ends(before, names)
        again = _latches(before)
        end = _stacked(end_held, end_excess)
        rest: Bools = _resting(cycle, names, end - state) & _alike(latched, again, many)
        if rest.all() or laps == most:
            gains = {name: end_held[name] - held[name] for name in names}
            return Lap(cycle, before, held, gains, excess, rest, ~settled.changing, laps)
        leap = last if laps % LEAP == 0 else None
        state, last = _next(state, end, leap), (state, end)
        held, excess = _unstacked(cycle, names, state)
        state = _stacked(held, excess)
        latched = again


def _nearest(near: Lap, warm: Array) -> Ints:
    """Variation of a lap whose temperature is nearest to each wanted, solved if any is."""
    usable = np.flatnonzero(near.solved if near.solved.any() else np.isfinite(near.solved))
    apart = np.abs(_temperatures(near)[usable][:, None] - warm)
    found: Ints = usable[np.argmin(apart, axis=0)]
    return found


def _taken_over(near: Lap, cycle: Cycle, at: Ints) -> tuple[History, dict[str, Array], Array]:
    """What steps leave to each other in a lap, which way oil leads parts, and all unknowns.

    For the pieces of a cycle that is cut otherwise, from the variations ``at`` of the lap.
    """
    case = near.answer.case
    rows = [_row_at(near.cycle, step, middle) for step, middle in _middles(cycle)]
    columns = (np.array(rows)[:, None] * case.variations + at).ravel()
    old = case.history
    history = History(
        stopped={name: row[columns] for name, row in old.stopped.items()},
        latched={name: row[columns] for name, row in old.latched.items()},
        places={name: row[columns] for name, row in old.places.items()},
        stored={name: row[columns] for name, row in old.stored.items()},
        excess={name: row[columns] for name, row in old.excess.items()},
    )
    directions = {name: row[columns] for name, row in case.directions.items()}
    return history, directions, near.answer.whole[:, columns]


def _middles(cycle: Cycle) -> list[tuple[int, float]]:
    """Step and middle of every piece, as a share of the step that has gone by."""
    found = []
    for number, shares in enumerate(cycle.shares):
        ends = np.cumsum(shares)
        found += [
            (number, float(end - 0.5 * share)) for end, share in zip(ends, shares, strict=True)
        ]
    return found


def _row_at(cycle: Cycle, step: int, middle: float) -> int:
    """Number of the piece in which a share of a step lies."""
    before = sum(len(shares) for shares in cycle.shares[:step])
    ends = np.cumsum(cycle.shares[step])
    return before + int(np.searchsorted(ends[:-1], middle))


def _beginning(
    cycle: Cycle, warm: Array, held: dict[str, Array]
) -> tuple[Circuit, dict[tuple[str, str], Array]]:
    """The circuit with its stores as they begin; what differs between variations beside it."""
    changes = {("oil", "temperature"): warm}
    parts = dict(cycle.circuit.parts)
    for name, volumes in held.items():
        part = parts[name]
        figure = Figure(float(volumes[0]), "", "volume", origin="assumed")
        parts[name] = replace(part, figures=part.figures | {"at start": figure})
        if len(warm) > 1:
            changes[name, "at start"] = volumes
    oil = float(warm[0]) if len(warm) == 1 else cycle.circuit.oil_degC
    return replace(cycle.circuit, parts=parts, oil_degC=oil), changes


def _ends(found: Answer, names: list[str]) -> tuple[dict[str, Array], dict[str, Array]]:
    """Oil that stores hold at the end of the cycle, and how much warmer than its wall the gas."""
    case, lasts = found.case, durations(found)
    held = {name: case.by_step(case.stored(name))[-1] for name in names}
    excess = {name: np.zeros(case.variations) for name in names}
    for i, element in enumerate(found.system.elements):
        if element.law in STORES:
            change = case.by_step(found.values[i]["flow"] * lasts)[-1]
            held[element.part] = np.maximum(held[element.part] + change, 0.0)
        if element.law == "warm_store":
            excess[element.part] = case.by_step(found.values[i]["excess"])[-1]
    return held, excess


def _latches(found: Answer) -> dict[str, Bools]:
    """States that survive to the next cycle."""
    case = found.case
    return {name: case.by_step(state)[-1] for name, state in case.history.latched.items()}


def _alike(old: dict[str, Bools], new: dict[str, Bools], many: int) -> Bools:
    alike = np.ones(many, dtype=bool)
    for name, state in new.items():
        alike &= state == old.get(name, np.zeros(many, dtype=bool))
    return alike


def _stacked(held: dict[str, Array], excess: dict[str, Array]) -> Array:
    """What a cycle begins with as one array, (2 x stores, variations)."""
    rows = [*held.values(), *excess.values()]
    return np.array(rows) if rows else np.zeros((0, 1))


def _unstacked(
    cycle: Cycle, names: list[str], state: Array
) -> tuple[dict[str, Array], dict[str, Array]]:
    held = {}
    for name, row in zip(names, state[: len(names)], strict=True):
        volume = cycle.circuit.parts[name].figure("volume") or 0.0
        held[name] = np.clip(row, 0.0, 0.999 * volume)
    rows = state[len(names) :]
    return held, {name: np.maximum(row, -0.9) for name, row in zip(names, rows, strict=True)}


def _resting(cycle: Cycle, names: list[str], change: Array) -> Bools:
    """Where no store changes from the beginning to the end, (variations,)."""
    volumes = [cycle.circuit.parts[name].figure("volume") or 0.0 for name in names]
    room = np.array([*(SAME * volume for volume in volumes), *([AS_WARM] * len(names))])
    found: Bools = np.all(np.abs(change) <= room[:, None], axis=0)
    return found


def _next(state: Array, end: Array, last: tuple[Array, Array] | None) -> Array:
    """Begin the next cycle: with the end of this one, or where two cycles point to (Wegstein)."""
    if last is None:
        return end
    moved, effect = state - last[0], end - last[1]
    some = np.abs(moved) > 1e-12
    slope = np.clip(np.where(some, effect / np.where(some, moved, 1.0), 0.0), -1.0, BOLDEST)
    return state + (end - state) / (1.0 - slope)


def _figure(part: Part, name: str, many: int) -> Array:
    return np.full(many, part.figure(name) or 0.0)
