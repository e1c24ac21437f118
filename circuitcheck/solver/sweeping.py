"""Solves variations that lie side by side: a few first, the others from between them."""

from __future__ import annotations

import numpy as np

from circuitcheck.laws.smoothing import EXACT
from circuitcheck.solver.between import KINK, POINTS, between
from circuitcheck.solver.equations import Equations, Ints
from circuitcheck.solver.newton import newton
from circuitcheck.solver.roads import Solved, find, find_soon

LEVELS = ((500, 0.4), (25, 0.05), (1, 0.01))
"""Every so many variations in each level, the first from cold, the others from between; and the
share that is not waited for: a few that stand at a corner would keep all others waiting, and
will have neighbours, or nearer ones, in the next level (own measurement)."""

MANY_OF_FIRST = 0.7
"""Share of the first level that must be solved, in every step of the cycle, for the others to be
found from between."""

SOON = 8
"""Passes in which a variant is soon found (own measurement)."""

ROUNDS = 4
"""Times that the last ones are tried from all sides, each time with more neighbours solved."""

NEAR = "from its neighbours"


def find_along(equations: Equations, variations: int) -> Solved:
    """Solve every variant; within a step, neighbouring variations start from each other.

    What is not soon found from between its neighbours is tried again when more of them are
    known; what is not found from there is solved from cold.
    """
    steps = equations.variants // variations
    result: Solved | None = None
    for stride, slow in LEVELS:
        level = np.unique(np.append(np.arange(0, variations, stride), variations - 1))
        if stride > 1 and len(level) < 2 * POINTS:
            continue  # so few are not worth a level
        which = (np.arange(steps)[:, None] * variations + level).ravel()
        if result is None:
            result = find_soon(equations, which, slow / steps)
            solved = result.solved[which].reshape(steps, -1)
            poor = solved.mean(axis=1, keepdims=True) < MANY_OF_FIRST
            left = which[(poor & ~solved).ravel()]
            if len(left):
                result.join(find(equations, among=left), left)
        else:
            _near(equations, result, which, variations, slow)
    if result is None:
        return find(equations)
    every = np.arange(equations.variants)
    for _ in range(ROUNDS):
        before = np.count_nonzero(result.solved)
        _near(equations, result, every, variations, kink=-1.0)
        if np.count_nonzero(result.solved) in (before, equations.variants):
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
    leave: float = 0.0,
    kink: float = KINK,
) -> None:
    """Solve those that are not solved yet from their neighbours, as far as that is quick."""
    which = among[~result.solved[among]]
    if len(which):
        start, of = between(result.x, np.flatnonzero(result.solved), which, variations, kink)
        outcome = newton(
            equations, equations.held_at(start, of), EXACT, of, SOON, leave=leave, rivals=True
        )
        result.take_first(outcome, of, NEAR)
