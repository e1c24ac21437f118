"""Solves variations that lie side by side: a few first, the others from between them."""

from __future__ import annotations

import numpy as np

from circuitcheck.laws.smoothing import EXACT, Array
from circuitcheck.solver.equations import Equations, Ints
from circuitcheck.solver.newton import newton
from circuitcheck.solver.roads import Solved, find

LEVELS = ((500, 0.0), (25, 0.05), (1, 0.01))
"""Every so many variations in each level, the first from cold, the others from between; and the
share that is not waited for: a few that stand at a corner would keep all others waiting, and
will have nearer neighbours in the next level (own measurement)."""

SOON = 8
"""Passes in which a variant is soon found (own measurement)."""

ROUNDS = 4
"""Times that the last ones are tried from neighbours, each time with more of them solved."""

NEAR, NEARER = "from its neighbours", "from a neighbour"

KINK = 0.03
"""Difference between curve and straight line beyond which a corner lies between the points, at
which a curve would overshoot [bar and the like]; own choice."""

POINTS = 4
"""Solved neighbours that a curve is laid through: two on either side."""


def find_along(equations: Equations, variations: int) -> Solved:
    """Solve every variant; within a step, neighbouring variations start from each other.

    What is not soon found from between its neighbours is tried again when more of them are
    known, then from either of the two next to it; what is not found from there is solved
    from cold.
    """
    steps = equations.variants // variations
    result: Solved | None = None
    for stride, slow in LEVELS:
        level = np.unique(np.append(np.arange(0, variations, stride), variations - 1))
        if stride > 1 and len(level) < 2 * POINTS:
            continue  # so few are not worth a level
        which = (np.arange(steps)[:, None] * variations + level).ravel()
        if result is None:
            result = find(equations, among=which)
        else:
            _near(equations, result, which, variations, NEAR, leave=slow)
            _near(equations, result, which, variations, NEARER, 1.0, slow)
            _near(equations, result, which, variations, NEARER, 0.0, slow)
    every = np.arange(equations.variants)
    if result is None:
        return find(equations)
    _near(equations, result, every, variations, NEAR)
    for _ in range(ROUNDS):
        before = np.count_nonzero(result.solved)
        _near(equations, result, every, variations, NEARER, 1.0)
        _near(equations, result, every, variations, NEARER, 0.0)
        if np.count_nonzero(result.solved) == before:
            break
    left = np.flatnonzero(~result.solved)
    if len(left):
        result.join(find(equations, among=left), left)
    return result


def _near(
    equations: Equations,
    result: Solved,
    among: Ints,
    variations: int,
    name: str,
    side: float | None = None,
    leave: float = 0.0,
) -> None:
    """Solve those that are not solved yet from their neighbours, as far as that is quick."""
    which = among[~result.solved[among]]
    if len(which):
        start = equations.held_at(_between(result, which, variations, side), which)
        outcome = newton(equations, start, EXACT, which, SOON, leave=leave)
        result.iterations[which] += outcome.iterations
        result.take(outcome, which, name)


def _between(result: Solved, which: Ints, variations: int, side: float | None) -> Array:
    """Give points between solved variants for those of ``which``, (n, len(which)): on a curve
    through the nearest, or (``side`` 0 or 1) the one on the left or right itself."""
    start, x = result.x[:, which], result.x
    all_solved = np.flatnonzero(result.solved)
    edges = np.arange(0, len(result.solved) + 1, variations)
    ends, solved_ends = np.searchsorted(which, edges), np.searchsorted(all_solved, edges)
    for step in range(len(edges) - 1):
        here = np.arange(ends[step], ends[step + 1])
        new, solved = which[here], all_solved[solved_ends[step] : solved_ends[step + 1]]
        if not len(solved) or not len(new):
            continue
        right = np.searchsorted(solved, new)
        left = np.clip(right - 1, 0, len(solved) - 1)
        if side is not None:
            near = np.minimum(right, len(solved) - 1) if side else left
            start[:, here] = x[:, solved[near]]
            continue
        start[:, here] = straight = _through(x, solved, left, 2, new)
        if len(solved) >= POINTS:
            bent = _through(x, solved, left - (POINTS - 2) // 2, POINTS, new)
            smooth = np.abs(bent - straight).max(axis=0, initial=0.0) < KINK
            start[:, here[smooth]] = bent[:, smooth]
    return start


def _through(x: Array, solved: Ints, first: Ints, count: int, new: Ints) -> Array:
    """Points for ``new`` on the curves through ``count`` solved ones from the ``first`` on."""
    count = min(count, len(solved))
    first = np.clip(first, 0, len(solved) - count)
    points = solved[first + np.arange(count)[:, None]]
    found = np.zeros((len(x), len(new)))
    for weight, at in zip(_weights(points, new), points, strict=True):
        found += weight * x[:, at]
    return found


def _weights(points: Ints, new: Ints) -> Array:
    """Weights of the points, (points, new), in the polynomial through them (Lagrange); what
    lies outside of them is taken to stand at the last one."""
    new = np.clip(new, points[0], points[-1])
    found = np.ones(points.shape)
    for i, one in enumerate(points):
        for j, other in enumerate(points):
            if i != j:
                found[i] *= (new - other) / (one - other)
    return found
