"""Draws of a study: a Latin hypercube, even within limits or normal."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.stats import norm, qmc

from circuitcheck.laws.smoothing import Array


def dice(count: int, runs: int, seed: Sequence[int], bell: bool) -> Array:
    """Give numbers around 0, (count, runs): even from -1 to 1; with ``bell`` normal, 1/2 wide."""
    if not count:
        return np.zeros((0, runs))
    bits = np.random.default_rng(list(seed))
    even = qmc.LatinHypercube(d=count, seed=bits).random(runs).T
    found: Array = 0.5 * norm.ppf(even) if bell else 2.0 * even - 1.0
    return found
