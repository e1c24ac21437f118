"""Which two faults together explain readings that no single one does.

What two faults shift is taken for the sum of what each shifts, which finds the pairs worth a
look; these are then solved with both faults in the model, on a grid of sizes around the
sum's best one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from circuitcheck.circuit.model import Circuit, Claim
from circuitcheck.laws.smoothing import Array
from circuitcheck.review.faults import Fault
from circuitcheck.review.signatures import Oil, Signature, shown

LOOKED_AT = 12
"""Pairs that are solved, the best by the sum of their shifts; own choice."""

AROUND = 2
"""Sizes on each side of the best one that are solved."""

BETWEEN = 8
"""Points between two solved sizes."""


Sized = tuple[Fault, Array]
"""A fault with sizes [SI] to look at."""


@dataclass(frozen=True)
class Pair:
    """Two faults with the sizes [SI] that explain the readings best; ``misfit`` and ``misses``
    as of a candidate."""

    faults: tuple[Fault, Fault]
    sizes: tuple[float, float]
    misfit: float
    misses: tuple[float, ...]


def pairs(
    circuit: Circuit, oil: Oil, readings: Sequence[Claim], read: Array, spread: Array,
    healthy: Array, found: Sequence[Signature],
) -> list[Pair]:  # fmt: skip
    """Give the pairs of faults that come nearest to the readings, best first.

    ``read``, ``spread`` and ``healthy`` are values, standard deviations and what the sound
    machine would show [SI], shape (readings,); NaN in ``healthy`` leaves a reading out.
    """
    known = ~np.isnan(healthy)
    wanted = ((read - healthy) / spread)[known]
    shifts = [((one.shown[:, : len(read)] - healthy) / spread)[:, known] for one in found]
    tried = []
    for i, j in combinations(range(len(found)), 2):
        if can_meet(found[i].fault, found[j].fault):
            both = shifts[i][:, None] + shifts[j][None]
            misfits = np.nan_to_num(np.sum((wanted - both) ** 2, axis=-1), nan=np.inf)
            best = int(np.argmin(misfits))
            at = np.unravel_index(best, misfits.shape)
            tried.append((float(misfits.ravel()[best]), i, j, int(at[0]), int(at[1])))
    asked = [
        (
            _around(found[i], first),
            _around(found[j], second),
        )
        for _, i, j, first, second in sorted(tried)[:LOOKED_AT]
    ]
    grids = _solved(circuit, oil, readings, asked)
    best_of = [
        _best(*pair, rows, read, spread, known) for pair, rows in zip(asked, grids, strict=True)
    ]
    return sorted((one for one in best_of if one is not None), key=lambda one: one.misfit)


def can_meet(one: Fault, other: Fault) -> bool:
    """Whether two faults can be in one model: not the same figure, and one circuit at most."""
    if (one.owner, one.figure) == (other.owner, other.figure):
        return False
    return one.circuit is None or other.circuit is None or one.circuit is other.circuit


def _around(one: Signature, place: int) -> Sized:
    return one.fault, one.figures[max(place - AROUND, 0) : place + AROUND + 1]


def _solved(
    circuit: Circuit, oil: Oil, readings: Sequence[Claim], asked: Sequence[tuple[Sized, Sized]]
) -> list[Array]:
    """Solve all pairs together; of each what is shown, (first sizes, second sizes, readings)."""
    machines = [
        ((one, float(a)), (other, float(b)))
        for (one, first), (other, second) in asked
        for a in first
        for b in second
    ]
    every = shown(circuit, readings, oil, machines)
    ends = np.cumsum([len(first) * len(second) for (_, first), (_, second) in asked])
    return [
        rows.reshape(len(first), len(second), len(readings))
        for rows, ((_, first), (_, second)) in zip(np.split(every, ends[:-1]), asked, strict=True)
    ]


def _best(
    one: Sized, other: Sized, rows: Array, read: Array, spread: Array, known: Array
) -> Pair | None:
    """The best point of a pair between its solved sizes; None where none was solved."""
    fine = _between(_between(rows, 0), 1)
    off = np.where(known, (read - fine) / spread, 0.0)
    squares = np.nan_to_num(np.sum(off**2, axis=-1), nan=np.inf)
    i, j = np.unravel_index(int(np.argmin(squares)), squares.shape)
    if not np.isfinite(squares[i, j]):
        return None
    sizes = float(_between(one[1], 0)[i]), float(_between(other[1], 0)[j])
    return Pair((one[0], other[0]), sizes, float(squares[i, j]), tuple(map(float, off[i, j])))


def _between(rows: Array, axis: int) -> Array:
    """Put points on straight lines between neighbours along an axis."""
    count = rows.shape[axis]
    way = np.linspace(0.0, count - 1.0, (count - 1) * BETWEEN + 1)
    low = np.minimum(way.astype(int), max(count - 2, 0))
    high = np.minimum(low + 1, count - 1)
    share = (way - low).reshape([-1 if k == axis else 1 for k in range(rows.ndim)])
    below: Array = np.take(rows, low, axis)
    above: Array = np.take(rows, high, axis)
    between: Array = np.where(share == 0.0, below, (1.0 - share) * below + share * above)
    return between
