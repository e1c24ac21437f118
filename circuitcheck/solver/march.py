"""The last road: lets the circuit run from rest to its steady point.

Every junction gets a capacity and every rod and shaft an inertia; implicit steps that grow
lead to where nothing changes any more, and there Newton finishes. Slow, so it is taken for
the few variants that no direct road solves; each has steps of its own length.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.laws.smoothing import Array, Smoothing
from circuitcheck.solver.equations import Equations, Ints
from circuitcheck.solver.linear import linear_for

CAPACITY = 1e-4
"""Oil that a junction stores a bar [L/min s/bar]; own choice, its size only paces the steps."""

INERTIA = 1e-2
"""The same for rods and shafts, in their scaled units."""

FIRST, LAST, LEAST = 1e-4, 1e6, 1e-9
"""First step, the one after which nothing moves any more, and the one to give up at [s]."""

PASSES, TRIES = 2000, 12
"""Factorisations in all, and most of one step."""


def march(equations: Equations, x: Array, s: Smoothing, which: Ints) -> tuple[Array, Ints]:
    """March the variants ``which`` from x, shape (n, len(which)), towards rest.

    Gives the points and the work of each. They may not be steady yet: whoever calls checks
    that. A step that does not converge is taken again, a quarter as long.
    """
    found, work = x.copy(), np.zeros(len(which), dtype=np.int64)
    mass = np.where(equations.pressure_rows, CAPACITY, INERTIA)[:, None]
    mass = np.where(equations.stay[:, which], 0.0, mass)
    at: Ints = np.arange(len(which))
    chosen, linear = equations.chosen(which), linear_for(equations, len(which))
    x, y = x.copy(), x.copy()
    step, tries = np.full(len(at), FIRST), np.zeros(len(at), dtype=np.int64)
    for _ in range(PASSES):
        slowness = mass / step
        with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
            r, entries = chosen.residual(y, s)
            entries[equations.pattern.diagonal] -= slowness
            dy = -linear(entries).solve(r - slowness * (y - x))
            y = y + dy
            moved = np.linalg.norm(dy, axis=0)
            arrived = moved < 1e-8 * (1.0 + np.linalg.norm(y, axis=0))
        tries += 1
        work[at] += 1
        lost = ~np.isfinite(moved) | (~arrived & (tries >= TRIES))
        np.copyto(x, y, where=arrived)
        np.copyto(y, x, where=lost)
        step = np.where(arrived, step * np.where(tries < TRIES // 2, 2.0, 1.2), step)
        step = np.where(lost, step / 4.0, step)
        tries[arrived | lost] = 0
        over = (arrived & (step > LAST)) | (step < LEAST)
        if over.any():
            found[:, at[over]] = x[:, over]
            kept = np.flatnonzero(~over)
            at, x, y, mass = at[kept], x[:, kept], y[:, kept], mass[:, kept]
            step, tries = step[kept], tries[kept]
            chosen.keep(kept)
        if not len(at):
            break
    found[:, at] = x
    return found, work
