"""Which values variations have: side by side, every pairing, by dice, or a Latin hypercube."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from circuitcheck.circuit.ranges import Axis
from circuitcheck.circuit.varied import Varied
from circuitcheck.laws.smoothing import Array

BESIDE, GRID, RANDOM, LATIN = "side by side", "grid", "random", "latin hypercube"

MOST_LATIN = 10_000_000
"""A Latin hypercube is made whole, 8 bytes a figure and variation; own choice."""

NEIGHBOURS = 0.1
"""Mean change from one variation to the next, as a share of the range, under which they are
neighbours; values by dice change by a third."""


@dataclass(frozen=True)
class Plan:
    """All variations, made by the stretch, so that any number of them needs no memory.

    ``form`` is "side by side" (the first values of all figures, then the second ones ...),
    "grid" (every value with every other, the last figure changing first), "random", or "latin
    hypercube" (the range of each figure cut into as many slices as there are variations, each
    slice drawn from once; McKay, Beckman and Conover 1979, by scipy.stats.qmc).
    """

    axes: tuple[tuple[Varied, Axis], ...]
    form: str
    count: int
    seed: int = 0

    def values(self, start: int, stop: int) -> dict[tuple[str, str], Array]:
        """Values of the variations ``start`` to before ``stop``, SI; the same in any stretch."""
        stop = min(stop, self.count)
        numbers = np.arange(start, stop)
        if self.form == GRID:
            places = np.unravel_index(numbers, [axis.count for _, axis in self.axes])
            pairs = zip(self.axes, places, strict=True)
            return {varied.key: axis.at(place) for (varied, axis), place in pairs}
        if self.form == RANDOM:
            return {
                varied.key: axis.drawn(self._dice(column, start, stop))
                for column, (varied, axis) in enumerate(self.axes)
            }
        if self.form == LATIN:
            rows = _hypercube(len(self.axes), self.count, self.seed)[start:stop]
            return {
                varied.key: axis.drawn(rows[:, column])
                for column, (varied, axis) in enumerate(self.axes)
            }
        return {
            varied.key: axis.at(numbers if axis.count > 1 else 0 * numbers)
            for varied, axis in self.axes
        }

    def _dice(self, column: int, start: int, stop: int) -> Array:
        """Draw for one figure: a stream of its own, entered where the stretch begins."""
        bits = np.random.PCG64(np.random.SeedSequence([self.seed, column]))
        drawn: Array = np.random.Generator(bits.advance(start)).random(stop - start)
        return drawn


@lru_cache(maxsize=2)
def _hypercube(figures: int, count: int, seed: int) -> Array:
    """Give numbers between 0 and 1, shape (count, figures); not to be changed."""
    from scipy.stats import qmc

    bits = np.random.default_rng([seed, figures])
    drawn: Array = qmc.LatinHypercube(d=figures, seed=bits).random(count)
    drawn.setflags(write=False)
    return drawn


def are_neighbours(values: Mapping[tuple[str, str], Array]) -> bool:
    """Whether variations side by side are near each other in all figures."""
    for row in values.values():
        width = float(np.ptp(row))
        if width > 0.0 and float(np.mean(np.abs(np.diff(row)))) > NEIGHBOURS * width:
            return False
    return bool(values)
