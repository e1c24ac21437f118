"""Damped Newton with the natural-monotonicity test, and the road when it fails.

The step test measures J^-1 r and not r: rows of closed volumes live on 1e-4 L/min, rows of
the pump on 100 L/min; J^-1 r is in bar for both. Deuflhard's affine-invariant damping,
from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from circuitcheck.laws.machines import STILL_ROD, STILL_SHAFT
from circuitcheck.laws.net import PRESSURE, ROD, SHAFT
from circuitcheck.laws.smoothing import EXACT, Array, Smoothing
from circuitcheck.solver.equations import Bools, Equations, Ints
from circuitcheck.solver.linear import factorise
from circuitcheck.solver.march import march

STEP_TOLERANCE = 1e-7
"""Natural step at which a point is accepted [bar per root of the number of unknowns]."""

RESIDUAL_TOLERANCE = 1e-7
"""Greatest imbalance of an accepted point [L/min, or bar on a piston]."""

STILL = {PRESSURE: 0.0, ROD: STILL_ROD, SHAFT: STILL_SHAFT}
"""Speed under which an unknown counts as standing, by its kind."""

LEAST_DAMPING = 1e-4
LEAST_GAIN = 0.25
"""Share by which a full step must shrink the next one (restricted monotonicity, same source)."""

PASSES = 120


@dataclass
class Outcome:
    """What one road gave: unknowns (n, variants), which converged, step norm, iterations."""

    x: Array
    solved: Bools
    step: Array
    iterations: Ints


def newton(
    equations: Equations, x: Array, s: Smoothing, which: Ints, passes: int = PASSES
) -> Outcome:
    """Run damped Newton on the variants ``which`` from x, shape (n, len(which))."""
    count = len(which)
    x = x.copy()
    solved = np.zeros(count, dtype=bool)
    lost = np.zeros(count, dtype=bool)
    step = np.full(count, np.inf)
    iterations = np.zeros(count, dtype=np.int64)
    if equations.n == 0 or count == 0:
        return Outcome(x, np.ones(count, dtype=bool), np.zeros(count), iterations)
    r, entries = equations.residual(x, s, which)
    factors = factorise(equations, entries)
    dx = -factors.solve(r)
    damping = np.ones(count)
    enough = STEP_TOLERANCE * np.sqrt(equations.n)
    for _ in range(passes):
        live = ~(solved | lost)
        if not live.any():
            break
        trial = np.where(live, x + damping * np.where(live, dx, 0.0), x)
        with np.errstate(over="ignore", invalid="ignore"):
            rt, entries = equations.residual(trial, s, which)
            db = -factors.solve(rt)
            long, short = np.linalg.norm(dx, axis=0), np.linalg.norm(db, axis=0)
            bend = np.linalg.norm(db - (1.0 - damping) * dx, axis=0)
        sound = np.isfinite(short)
        predicted = 0.5 * damping**2 * long / np.maximum(bend, 1e-300)
        # a root at zero flow throws a full step to and fro without it growing: it must shrink;
        # steps of rounding size need not shrink any more
        shrinks = (short <= (1.0 - LEAST_GAIN * damping) * long) | (short < enough)
        accepted = live & sound & (shrinks | (damping <= LEAST_DAMPING))
        imbalance = np.max(np.abs(rt), axis=0)
        done = (
            accepted & (damping == 1.0) & (short < enough) & (imbalance < 10 * RESIDUAL_TOLERANCE)
        )
        x = np.where(done, trial + np.where(sound, db, 0.0), np.where(accepted, trial, x))
        step = np.where(accepted, short, step)
        solved |= done
        iterations += accepted
        moved = accepted & ~done
        if moved.any():
            fresh = factorise(equations, entries)
            factors.take(fresh, moved)
            dx = np.where(moved, -factors.solve(np.where(moved, rt, 0.0)), dx)
            lost |= moved & ~np.isfinite(dx).all(axis=0)
        rejected = live & ~accepted
        damping = np.where(moved, np.minimum(1.0, 2.0 * predicted), damping)
        shrunk = np.clip(np.where(sound, predicted, 0.0), damping / 4.0, damping / 2.0)
        lost |= rejected & ~sound & (damping <= LEAST_DAMPING)
        damping = np.where(rejected, shrunk, damping)
        damping = np.where(moved & (damping < LEAST_DAMPING), LEAST_DAMPING, damping)
    r, _ = equations.residual(x, s, which)
    solved &= np.max(np.abs(r), axis=0) < 10 * RESIDUAL_TOLERANCE
    return Outcome(x, solved, step, iterations)


SHARPENED = tuple(
    Smoothing(e, tails=True, creep=c) for e, c in ((0.3, 1e3), (0.1, 300), (0.03, 100), (0.01, 30))
)

ROADS: tuple[tuple[str, tuple[Smoothing, ...]], ...] = (
    ("direct", (Smoothing(creep=100.0), EXACT)),
    ("rounded corners, sharpened", (*SHARPENED, Smoothing(creep=10.0), EXACT)),
    (
        "wide bands, narrowed",
        (
            *(
                Smoothing(0.3, tails=True, widen=w, creep=1e3)
                for w in (1000.0, 100.0, 31.6, 10.0, 3.16)
            ),
            *SHARPENED,
            Smoothing(creep=10.0),
            EXACT,
        ),
    ),
)
"""Smoothings tried one after the other, each from the last result; cold start each road."""


@dataclass
class Solved:
    """The answer for all variants: how each was found, or that it was not."""

    x: Array
    solved: Bools
    step: Array
    iterations: Ints
    method: list[str]


def _carried(equations: Equations, x: Array, before: Smoothing, after: Smoothing) -> Array:
    """Carry a point over to a narrower still zone, standing rods staying within it.

    A rod that stands at half the friction it may have still does so when the zone shrinks;
    left where it was, it would be outside, where friction has no slope to lead it back.
    """
    if before.creep == after.creep:
        return x
    unknowns = [equations.system.unknowns[i] for i in equations.free]
    zone = np.array([STILL[u.kind] / u.scale for u in unknowns])[:, None]
    stands = np.abs(x) < 1.05 * zone * before.creep
    return np.where(stands, x * after.creep / before.creep, x)


def _run_from_rest(equations: Equations, x: Array, which: Ints) -> Outcome:
    """Let one variant run from rest, then narrow the still zone to its true width."""
    before = Smoothing(creep=100.0)
    x, work = march(equations, x, before, which)
    for s in (before, Smoothing(creep=10.0), EXACT):
        x = _carried(equations, x, before, s)
        last = newton(equations, x, s, which)
        work += int(last.iterations[0])
        if not last.solved[0]:
            x, more = march(equations, x, s, which)
            last = newton(equations, x, s, which)
            work += more + int(last.iterations[0])
        if last.solved[0]:
            x = last.x
        before = s
    return Outcome(last.x, last.solved, last.step, np.array([work]))


def find(equations: Equations, start: Array | None = None, among: Ints | None = None) -> Solved:
    """Solve every variant, road by road; what no road solves is left marked as not solved.

    ``start`` takes the place of the cold start, shape (n, variants); variants that are not
    ``among`` those wanted are left as they are.
    """
    variants = equations.variants
    cold = equations.start() if start is None else start
    x = cold.copy()
    left = np.ones(variants, dtype=bool)
    if among is not None:
        left[:] = False
        left[among] = True
    solved = np.zeros(variants, dtype=bool)
    step = np.full(variants, np.inf)
    iterations = np.zeros(variants, dtype=np.int64)
    method = ["not solved"] * variants
    for name, smoothings in ROADS:
        which: Ints = np.flatnonzero(left & ~solved)
        if not len(which):
            break
        path = cold[:, which].copy()
        for before, s in zip((smoothings[0], *smoothings), smoothings, strict=False):
            path = _carried(equations, path, before, s)
            last = newton(equations, path, s, which)
            iterations[which] += last.iterations
            good = np.isfinite(last.x).all(axis=0)
            path = np.where(good, last.x, path)
        x[:, which] = path
        step[which] = last.step
        solved[which] = last.solved
        for i in which[last.solved]:
            method[i] = name
    for i in np.flatnonzero(left & ~solved):
        last = _run_from_rest(equations, cold[:, [i]], np.array([i]))
        iterations[i] += last.iterations[0]
        if last.solved[0]:
            x[:, i], step[i], solved[i] = last.x[:, 0], last.step[0], True
            method[i] = "run from rest"
    return Solved(x, solved, step, iterations, method)
