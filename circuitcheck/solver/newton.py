"""Damped Newton with the natural-monotonicity test.

The step test measures J^-1 r and not r: rows of closed volumes live on 1e-4 L/min, rows of
the pump on 100 L/min; J^-1 r is in bar for both. Deuflhard's affine-invariant damping,
from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from circuitcheck.laws.machines import STILL_ROD, STILL_SHAFT
from circuitcheck.laws.net import PRESSURE, ROD, SHAFT
from circuitcheck.laws.smoothing import Array, Smoothing
from circuitcheck.solver.equations import Bools, Equations, Ints
from circuitcheck.solver.factors import Factors
from circuitcheck.solver.linear import MANY, linear_for, places_for

STEP_TOLERANCE = 1e-7
"""Natural step at which a point is accepted [bar per root of the number of unknowns]."""

RESIDUAL_TOLERANCE = 1e-7
"""Greatest imbalance of an accepted point [L/min, or bar on a piston]."""

ROUNDING = 8.0 * np.finfo(float).eps
"""Share of a pressure that figures can no longer tell from it, with what sums add to that. A
wide short line passes 1e-5 L/min for the rounding of 300 bar at its ends: nothing balances
better than that."""

STILL = {PRESSURE: 0.0, ROD: STILL_ROD, SHAFT: STILL_SHAFT}
"""Speed under which an unknown counts as standing, by its kind."""

BALLAST = 4_000_000
"""Length of an array that is asked for and let go: the C library's allocator then keeps memory
of that size for the next arrays, instead of giving it back and fetching it in every pass,
which would take half the time (own measurement, glibc)."""

LEAST_DAMPING = 1e-4
LEAST_GAIN = 0.25
"""Share by which a full step must shrink the next one (restricted monotonicity, same source)."""

PASSES = 120

FIRST_STEP = 20.0
"""Length of the first trial [bar]: from rest everything is shut, and the first step would be
thousands of bar long."""

GROWTH, SHRINKAGE = 8.0, 6.0
"""Most by which the damping grows from step to step, and shrinks from trial to trial. Without
the first, every corner costs a row of rejected trials (own measurement: 60 trials in place
of 108 for a load-sensing circuit of 25 unknowns, 34 in place of 57 for one of 11)."""


@dataclass
class Outcome:
    """What one road gave: unknowns (n, variants), which converged, step norm, iterations."""

    x: Array
    solved: Bools
    step: Array
    iterations: Ints


def newton(
    equations: Equations,
    x: Array,
    s: Smoothing,
    which: Ints,
    passes: int = PASSES,
    loose: float = 1.0,
) -> Outcome:
    """Run damped Newton on the variants ``which`` from x, shape (n, len(which)).

    Every pass makes one trial in every place; a trial that is rejected keeps its Jacobian
    and goes less far in the next pass. Finished places go to the variants that still wait.
    """
    count = len(which)
    if equations.n == 0 or count == 0:
        whole = np.ones(count, dtype=bool)
        return Outcome(x.copy(), whole, np.zeros(count), np.zeros(count, dtype=np.int64))
    return _Run(equations, x, s, which, passes, loose).outcome


class _Run:
    """Variants on their way through a fixed number of places; ``at`` is what is in each."""

    def __init__(
        self,
        equations: Equations,
        x: Array,
        s: Smoothing,
        which: Ints,
        passes: int,
        loose: float,
    ) -> None:
        count = len(which)
        self.start, self.which, self.s, self.passes = x, which, s, passes
        self.enough = loose * STEP_TOLERANCE * np.sqrt(equations.n)
        self.balanced = loose * RESIDUAL_TOLERANCE
        self.outcome = Outcome(
            x.copy(),
            np.zeros(count, dtype=bool),
            np.full(count, np.inf),
            np.zeros(count, dtype=np.int64),
        )
        if count > MANY:
            np.empty(BALLAST)  # never touched, given back at once
        self.at: Ints = np.arange(min(count, places_for(equations)))
        self.next = len(self.at)
        self.chosen = equations.chosen(which[self.at])
        self.linear = linear_for(equations, len(self.at))
        self.factors: Factors | None = None
        self.x = x[:, self.at].copy()
        self.dx = np.zeros_like(self.x)
        self.long = np.full(len(self.at), np.inf)
        self.damping = np.ones(len(self.at))
        self.fresh = np.ones(len(self.at), dtype=bool)
        self.live = self.fresh.copy()
        self.age = np.zeros(len(self.at), dtype=np.int64)
        while self.live.any():
            with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
                self._pass()
            if np.count_nonzero(self.live) < 0.7 * len(self.live):
                self._refill()

    def _pass(self) -> None:
        """Try a step in every place."""
        trial = self.x + self.damping * self.dx
        r, entries = self.chosen.residual(trial, self.s)
        db = np.zeros_like(r) if self.factors is None else -self.factors.solve(r)
        short = _length(db)
        sound = self.fresh | np.isfinite(short)
        # a root at zero flow throws a full step to and fro without it growing: it must shrink;
        # steps of rounding size need not shrink any more
        shrinks = short <= (1.0 - LEAST_GAIN * self.damping) * self.long
        shrinks |= short < self.enough
        last = self.damping <= LEAST_DAMPING
        accepted = self.live & sound & (shrinks | last | self.fresh)
        done = accepted & (self.damping == 1.0) & (short < self.enough) & ~self.fresh
        open_ = done & ~(np.abs(r).max(axis=0) < self.balanced)
        if open_.any():
            done[open_] = self._as_near_as_can_be(trial, r, entries, open_)
        moved = accepted & ~done
        outcome, at = self.outcome, self.at
        outcome.step[at[accepted]] = short[accepted]
        outcome.iterations[at[accepted & ~self.fresh]] += 1
        if done.any():
            outcome.x[:, at[done]] = (trial + db)[:, done]
            outcome.solved[at[done]] = True
        rejected = self.live & ~accepted
        lost = rejected & ~sound & last
        if moved.any():
            np.copyto(self.x, trial, where=moved)
            fresh = self.linear(entries)
            if self.factors is None:
                self.factors = fresh
            else:
                self.factors.take(fresh, moved)
            dx = -self.factors.solve(r)
            long = _length(dx)
            self.damping = np.where(moved, self._grown(short, db - dx, long), self.damping)
            np.copyto(self.dx, dx, where=moved)
            lost |= moved & ~np.isfinite(long)
            np.copyto(self.long, long, where=moved)
        if rejected.any():
            bend = _length(db - (1.0 - self.damping) * self.dx)
            predicted = 0.5 * self.damping**2 * self.long / np.maximum(bend, 1e-300)
            shrunk = np.clip(
                np.where(sound, predicted, 0.0), self.damping / SHRINKAGE, self.damping / 2.0
            )
            self.damping = np.where(rejected, shrunk, self.damping)
        self.age += 1
        lost |= self.live & ~done & (self.age > self.passes)
        if lost.any():
            outcome.x[:, at[lost]] = self.x[:, lost]
        gone = done | lost
        self.live &= ~gone
        self.dx[:, gone] = 0.0
        self.fresh = np.zeros_like(self.fresh)

    def _as_near_as_can_be(self, x: Array, r: Array, entries: Array, which: Bools) -> Bools:
        """Whether what is open at some places is no more than the rounding of the unknowns."""
        noise = rounding(self.chosen.equations, x[:, which], entries[:, which])
        found: Bools = np.all(np.abs(r[:, which]) < self.balanced + noise, axis=0)
        return found

    def _grown(self, short: Array, change: Array, long: Array) -> Array:
        """Damping for the next step: as long as the last one's change of direction allows."""
        bent = np.maximum(_length(change) * long, 1e-300)
        least = np.minimum(1.0, GROWTH * self.damping)
        grown = np.clip(self.damping * self.long * short / bent, LEAST_DAMPING, least)
        first: Array = np.minimum(1.0, FIRST_STEP / np.maximum(long, 1e-300))
        # of steps of rounding size the change of direction says nothing
        grown = np.where(short < self.enough, 1.0, grown)
        return np.where(self.fresh, first, grown)

    def _refill(self) -> None:
        """Give finished places to waiting variants, and give up those that none waits for."""
        free = np.flatnonzero(~self.live)
        new: Ints = np.arange(self.next, min(self.next + len(free), len(self.which)))
        self.next += len(new)
        if len(new):
            taken = free[: len(new)]
            self.chosen.refill(taken, self.which[new])
            self.at[taken] = new
            self.x[:, taken] = self.start[:, new]
            self.dx[:, taken] = 0.0
            self.damping[taken], self.long[taken], self.age[taken] = 1.0, np.inf, 0
            self.fresh[taken] = self.live[taken] = True
        if len(new) < len(free):
            kept = np.flatnonzero(self.live)
            self.chosen.keep(kept)
            if self.factors is not None:
                self.factors.keep(kept)
            self.at, self.x, self.dx = self.at[kept], self.x[:, kept], self.dx[:, kept]
            self.damping, self.long, self.age = (
                self.damping[kept],
                self.long[kept],
                self.age[kept],
            )
            self.fresh, self.live = self.fresh[kept], self.live[kept]


def rounding(equations: Equations, x: Array, entries: Array) -> Array:
    """What the rounding of the unknowns alone leaves open in each balance, (n, places)."""
    moved = np.abs(entries) * np.abs(x[equations.columns])
    starts = np.searchsorted(equations.rows, np.arange(equations.n))
    noise: Array = ROUNDING * np.add.reduceat(moved, starts, axis=0)
    return noise


def _length(x: Array) -> Array:
    """Length of every column."""
    found: Array = np.sqrt(np.einsum("iv,iv->v", x, x))
    return found
