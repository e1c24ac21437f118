"""Solves variations that lie side by side: a few first, the others from between them."""

from __future__ import annotations

import numpy as np

from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.equations import Equations, Ints
from circuitcheck.solver.roads import Solved, find, find_near

STRIDES = (500, 50, 10, 1)
"""Every so many variations in each level: the first from cold, the others from between."""

SOON = 12
"""Passes in which a variant is soon found (own measurement)."""

NEAR, NEARER = "from its neighbours", "from a neighbour"


def find_along(equations: Equations, variations: int) -> Solved:
    """Solve every variant; within a step, neighbouring variations start from each other.

    What is not soon found from between two neighbours is tried from either of them; what is
    not found from there waits until all others are known and is then solved from cold.
    """
    steps = equations.variants // variations
    result: Solved | None = None
    known: Ints = np.zeros(0, dtype=np.int64)
    tried: Ints = known
    for stride in STRIDES:
        level = np.unique(np.append(np.arange(0, variations, stride), variations - 1))
        new = np.setdiff1d(level, known, assume_unique=True)
        if not len(new):
            continue
        which = (np.arange(steps)[:, None] * variations + new).ravel()
        if result is None:
            result, tried = find(equations, among=which), which
        else:
            for name, side in ((NEAR, None), (NEARER, 1.0), (NEARER, 0.0)):
                if len(which):
                    start = _between(result, known, which, variations, side)
                    result.join(find_near(equations, start, which, name, SOON), which)
                    which = which[~result.solved[which]]
        known = level
    if result is None:
        return find(equations)
    left = np.setdiff1d(np.flatnonzero(~result.solved), tried)
    if len(left):
        result.join(find(equations, among=left), left)
    return result


def _between(
    result: Solved, known: Ints, which: Ints, variations: int, side: float | None
) -> Array:
    """Give points between the solved variants of the ``known`` variations, for ``which``.

    ``side`` 0 takes the one on the left, 1 that on the right.
    """
    start = result.x.copy()
    for step in np.unique(which // variations):
        new = which[which // variations == step]
        solved = step * variations + known
        solved = solved[result.solved[solved]]
        if not len(solved):
            continue
        right = np.clip(np.searchsorted(solved, new), 0, len(solved) - 1)
        left = np.maximum(right - 1, 0)
        apart = np.maximum(solved[right] - solved[left], 1)
        share = np.clip((new - solved[left]) / apart, 0.0, 1.0)
        if side is not None:
            share[:] = side
        x = result.x
        start[:, new] = (1.0 - share) * x[:, solved[left]] + share * x[:, solved[right]]
    return start
