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

FULL, HALF_FULL = 0.9, 0.35
"""Share of live places under which others are put in or the arrays made smaller; the second
where there are few places, and making arrays takes as long as a pass (own measurement)."""

FIRST_STEP = 20.0
"""Length of the first trial [bar]: from rest everything is shut, and the first step would be
thousands of bar long."""

GROWTH, SHRINKAGE = 8.0, 6.0
"""Most by which the damping grows from step to step, and shrinks from trial to trial. Without
the first, every corner costs a row of rejected trials (own measurement: 60 trials in place
of 108 for a load-sensing circuit of 25 unknowns, 34 in place of 57 for one of 11)."""

CAREFUL = 3.0
"""Most by which it grows after a step that was found by shrinking: where every step is as far as
the corners allow, each would cost a rejected trial (own measurement: 112 trials in place of 139
for a ladder of 1,000 junctions, 25.2 in place of 27.0 for random states of 11 unknowns)."""


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
    leave: float = 0.0,
    rivals: bool = False,
) -> Outcome:
    """Run damped Newton on the variants ``which`` from x, shape (n, len(which)).

    ``passes`` are those that a variant may take; when no more than the share ``leave`` of them
    all is still on its way, these are left unsolved. ``rivals`` says that ``which`` may name a
    variant more than once, with a start each; the first that arrives ends the others.

    Every pass makes one trial in every place; a trial that is rejected keeps its Jacobian and
    goes less far in the next pass. Finished places go to the variants that still wait.
    """
    count = len(which)
    if equations.n == 0 or count == 0:
        whole = np.ones(count, dtype=bool)
        return Outcome(x.copy(), whole, np.zeros(count), np.zeros(count, dtype=np.int64))
    return _Run(equations, x, s, which, passes, loose, leave, rivals).outcome


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
        leave: float,
        rivals: bool,
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
        self.won = np.zeros(equations.variants if rivals else 0, dtype=bool)
        if count > MANY:
            np.empty(BALLAST)  # never touched, given back at once
        self.at: Ints = np.arange(min(count, places_for(equations)))
        self.next = len(self.at)
        self.chosen = equations.chosen(which[self.at])
        self.linear = linear_for(equations, len(self.at))
        self.factors: Factors | None = None
        self.x = x[:, self.at].copy()
        self.back = np.zeros_like(self.x)  # J^-1 r at x: the full step, turned round
        self.long = np.full(len(self.at), np.inf)
        self.damping = np.ones(len(self.at))
        self.balked = np.zeros(len(self.at), dtype=bool)
        self.fresh = np.ones(len(self.at), dtype=bool)
        self.live = self.fresh.copy()
        self.age = np.zeros(len(self.at), dtype=np.int64)
        with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
            while self._goes_on(leave * count):
                self._pass()
                full = FULL if len(self.live) > MANY else HALF_FULL
                if np.count_nonzero(self.live) < full * len(self.live):
                    self._refill()

    def _goes_on(self, few: float) -> bool:
        """Whether places are live; the last few are given up."""
        live = np.flatnonzero(self.live)
        if len(live) > few or self.next < len(self.which):
            return True
        self.outcome.x[:, self.at[live]] = self.x[:, live]
        return False

    def _pass(self) -> None:
        """Try a step in every place."""
        fresh, damping = self.fresh, self.damping
        trial = self.x - damping * self.back
        r, entries = self.chosen.residual(trial, self.s)
        rest = np.zeros_like(r) if self.factors is None else self.factors.solve(r)
        short = _length(rest)
        small = short < self.enough
        sound = fresh | np.isfinite(short)
        # a root at zero flow throws a full step to and fro without it growing: it must shrink;
        # steps of rounding size need not shrink any more
        shrinks = short <= (1.0 - LEAST_GAIN * damping) * self.long
        last = damping <= LEAST_DAMPING
        accepted = self.live & sound & (shrinks | small | last | fresh)
        done = accepted & (damping == 1.0) & small & ~fresh
        if done.any():
            self._finish(trial, r, entries, rest, done)
        outcome, at = self.outcome, self.at
        outcome.step[at[accepted]] = short[accepted]
        outcome.iterations[at[accepted & ~fresh]] += 1
        moved, rejected = accepted & ~done, self.live & ~accepted
        lost = rejected & ~sound & last
        changed = damping.copy()
        if rejected.any():
            bend = _length(rest - (1.0 - damping) * self.back)
            predicted = 0.5 * damping**2 * self.long / np.maximum(bend, 1e-300)
            shrunk = np.maximum(np.where(sound, predicted, 0.0), damping / SHRINKAGE)
            np.minimum(shrunk, damping / 2.0, out=shrunk)
            changed = np.where(rejected, shrunk, changed)
        if moved.any():
            self._take(trial, entries, moved)
            assert self.factors is not None
            back = self.factors.solve(r)
            long = _length(back)
            near = moved & fresh & (long < self.enough)
            if near.any():  # a start that was the answer: its own full step is the check
                self._finish(trial, r, entries, back, near)
                outcome.step[at[near]] = long[near]
                outcome.iterations[at[near]] += 1
                done |= near
            changed = np.where(moved, self._grown(short, rest - back, long), changed)
            lost |= moved & ~np.isfinite(long)
            _put(self.back, back, moved)
            _put(self.long, long, moved)
        self.damping = changed
        self.balked &= ~moved
        self.balked |= rejected
        self.age += 1
        lost |= self.live & ~done & (self.age > self.passes)
        if len(self.won) and done.any():
            self.won[self.which[at[done]]] = True
            lost |= self.live & ~done & self.won[self.which[at]]
        if lost.any():
            outcome.x[:, at[lost]] = self.x[:, lost]
        gone = done | lost
        if gone.any():
            self.live &= ~gone
            self.back[:, gone] = 0.0
        if fresh.any():
            self.fresh = np.zeros_like(fresh)

    def _finish(self, x: Array, r: Array, entries: Array, rest: Array, done: Bools) -> None:
        """Keep the places that are ``done``; those with an imbalance left are taken out of it."""
        outcome = self.outcome
        open_ = done & ~(np.abs(r).max(axis=0) < self.balanced)
        if open_.any():
            # it may be no more than the rounding of the unknowns
            left = np.flatnonzero(open_)
            noise = rounding(self.chosen.equations, x[:, left], entries[:, left])
            near = np.all(np.abs(r[:, left]) < self.balanced + noise, axis=0)
            done[left[~near]] = False
        if len(done) == len(self.which):  # every variant is in its place
            np.copyto(outcome.x, x - rest, where=done)
            outcome.solved |= done
            return
        which = np.flatnonzero(done)
        outcome.x[:, self.at[which]] = x[:, which] - rest[:, which]
        outcome.solved[self.at[which]] = True

    def _take(self, trial: Array, entries: Array, moved: Bools) -> None:
        """Go to the trial, with the factors there, in the places that ``moved``."""
        _put(self.x, trial, moved)
        if self.factors is None or moved.all():
            self.factors = self.linear(entries)
        else:
            which = np.flatnonzero(moved)
            self.factors.put(self.linear(entries[:, which]), which)

    def _grown(self, short: Array, change: Array, long: Array) -> Array:
        """Damping for the next step: as long as the last one's change of direction allows."""
        bent = np.maximum(_length(change) * long, 1e-300)
        growth = np.where(self.balked, CAREFUL, GROWTH)
        least = np.minimum(1.0, growth * self.damping)
        grown = np.maximum(self.damping * self.long * short / bent, LEAST_DAMPING)
        np.minimum(grown, least, out=grown)
        # of steps of rounding size the change of direction says nothing
        grown[short < self.enough] = 1.0
        if self.fresh.any():
            first = np.minimum(1.0, FIRST_STEP / np.maximum(long, 1e-300))
            grown = np.where(self.fresh, first, grown)
        found: Array = grown
        return found

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
            self.back[:, taken] = 0.0
            self.damping[taken], self.long[taken], self.age[taken] = 1.0, np.inf, 0
            self.fresh[taken] = self.live[taken] = True
            self.balked[taken] = False
        if len(new) < len(free):
            kept = np.flatnonzero(self.live)
            self.chosen.keep(kept)
            if self.factors is not None:
                self.factors.keep(kept)
            self.at, self.x, self.back = self.at[kept], self.x[:, kept], self.back[:, kept]
            self.damping, self.long, self.age = (
                self.damping[kept],
                self.long[kept],
                self.age[kept],
            )
            self.fresh, self.live = self.fresh[kept], self.live[kept]
            self.balked = self.balked[kept]


def _put(there: Array, figures: Array, where: Bools) -> None:
    """Put figures into an array where it holds."""
    np.copyto(there, figures, where=where)


def rounding(equations: Equations, x: Array, entries: Array) -> Array:
    """What the rounding of the unknowns alone leaves open in each balance, (n, places)."""
    moved = np.abs(entries) * np.abs(x[equations.pattern.columns])
    noise: Array = ROUNDING * np.add.reduceat(moved, equations.pattern.row_starts, axis=0)
    return noise


def _length(x: Array) -> Array:
    """Length of every column."""
    found: Array = np.sqrt(np.einsum("iv,iv->v", x, x))
    return found
