"""The last road: lets the circuit run from rest to its steady point.

Every junction gets a capacity and every rod and shaft an inertia; implicit steps that grow
lead to where nothing changes any more, and there Newton finishes. Slow, so it is taken for
the few steps that no direct road solves, one at a time.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.laws.smoothing import Array, Smoothing
from circuitcheck.solver.equations import Equations, Ints
from circuitcheck.solver.linear import factorise

CAPACITY = 1e-4
"""Oil that a junction stores a bar [L/min s/bar]; own choice, its size only paces the steps."""

INERTIA = 1e-2
"""The same for rods and shafts, in their scaled units."""

FIRST, LAST, LEAST = 1e-4, 1e6, 1e-9
"""First step, the one after which nothing moves any more, and the one to give up at [s]."""

STEPS, TRIES = 400, 12


def march(equations: Equations, x: Array, s: Smoothing, which: Ints) -> tuple[Array, int]:
    """March one variant from x, shape (n, 1), towards rest; give the point and the work.

    ``which`` holds the variant's number. The point may not be steady yet: whoever calls
    checks it.
    """
    mass = np.where(equations.pressure_rows, CAPACITY, INERTIA)[:, None]
    mass = np.where(equations.stay[:, which], 0.0, mass)
    step, work = FIRST, 0
    for _ in range(STEPS):
        moved, tries = _implicit(equations, x, s, which, mass / step)
        work += tries
        if moved is None:
            step /= 4.0
            if step < LEAST:
                break
            continue
        x = moved
        step *= 2.0 if tries < TRIES // 2 else 1.2
        if step > LAST:
            break
    return x, work


def _implicit(
    equations: Equations, x: Array, s: Smoothing, which: Ints, slowness: Array
) -> tuple[Array | None, int]:
    """One implicit step, None where it does not converge, and the tries it took."""
    y = x.copy()
    for tries in range(1, TRIES + 1):
        r, entries = equations.residual(y, s, which)
        entries[equations.diagonal] -= slowness
        dy = -factorise(equations, entries).solve(r - slowness * (y - x))
        if not np.isfinite(dy).all():
            return None, tries
        y = y + dy
        if np.linalg.norm(dy) < 1e-8 * (1.0 + np.linalg.norm(y)):
            return y, tries
    return None, TRIES
