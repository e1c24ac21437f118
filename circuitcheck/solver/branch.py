"""The road that leads where others fail: one branch of points from a held start, round its turns.

Springs hold every unknown at its start and are let go little by little. The points on the way
are one branch; where it turns back, the springs are tightened again for a while, so that the
branch never breaks off: what paces the way is the length of the branch, not the springs.
Fixed-point homotopy followed by its arc length, turned by the sign of the determinant
(Allgower and Georg, Numerical Continuation Methods, 1990; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from circuitcheck.laws.smoothing import EXACT, Array
from circuitcheck.solver.equations import Bools, Equations, Ints
from circuitcheck.solver.linear import MANY, linear_for

HELD, FREE = np.log(1e8), np.log(1e-10)
"""Springs at the start and at the end, as logarithms [L/min a bar, and the like]; the second is
beside the least leakage."""

UNIT = 10.0
"""Way in pressure that counts as much as springs e times as weak [bar]; own choice."""

FIRST, LONGEST, LEAST = 0.1, 3.0, 1e-9
"""First, greatest and least step along the branch, the last to give up at."""

COARSE, FINE = 1e-3, 1e-6
"""Corrections with which a point counts as on the branch; each arrives where the other is stuck in
corners (own measurement)."""

SHARP = 1e-3
"""Step at which a bend is a corner: it is gone round, however much it turns."""

TRIES, QUICK, SOME = 10, 2, 4
"""Corrections of a step at most; up to the second the next step is longer, up to the third a
little longer, and beyond it shorter."""

PASSES = 1000
"""Factorisations in all: of 254 states that direct roads left of one load-sensing circuit of six
sections the median took 200, the longest 600, and 370 and 1,100 with the finer correction (own
measurement)."""

FEW = 4
"""Variants under which whole inverses are quicker than elimination in a fixed order, on a way of
so many passes (own measurement)."""

STRAIGHT, BENT = 0.95, 0.8
"""Cosine of the turn in a step up to which the next is longer, and beyond which it is taken
again, shorter."""


@dataclass
class Followed:
    """Where the branches end, (n, variants), which were followed to it, work of each."""

    x: Array
    arrived: Bools
    iterations: Ints


def let_go(equations: Equations, start: Array, which: Ints, near: float) -> Followed:
    """Follow the branches of the variants ``which`` from ``start``, shape (n, len(which)).

    A point is on its branch when its correction is less than ``near``. What arrives is near
    the steady point, and Newton makes it exact.
    """
    count = len(which)
    found = Followed(start.copy(), np.zeros(count, dtype=bool), np.zeros(count, dtype=np.int64))
    _Way(equations, start, which, near, found)
    return found


class _Way:
    """Variants on their way along their branches.

    ``x``, ``spring``: the last point; ``along``, ``let``: unit tangent there, in pressure and
    springs; ``y``, ``new``: the point that is being corrected; ``length``: of the step.
    """

    def __init__(
        self, equations: Equations, start: Array, which: Ints, near: float, found: Followed
    ) -> None:
        count = len(which)
        self.near = near
        self.found, self.equations = found, equations
        self.at: Ints = np.arange(count)
        self.chosen = equations.chosen(which)
        self.linear = linear_for(equations, count if count < FEW else max(count, MANY))
        self.start, self.x, self.y = start, start.copy(), start.copy()
        self.firm = np.where(equations.stay[:, which], 0.0, 1.0)
        self.spring, self.new = np.full(count, HELD), np.full(count, HELD)
        self.along, self.let = np.zeros_like(start), np.full(count, -1.0)
        self.sign = np.zeros(count)  # of the determinant where the branch begins
        self.length, self.before = np.full(count, FIRST), np.full(count, np.inf)
        self.tries = np.zeros(count, dtype=np.int64)
        with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
            for _ in range(PASSES):
                self._pass()
                if not len(self.at):
                    return
        found.x[:, self.at] = self.x

    def _pass(self) -> None:
        """Correct every point once; go on from those that are on their branch."""
        r, entries = self.chosen.residual(self.y, EXACT)
        pull = np.exp(self.new) * self.firm
        held = pull * (self.y - self.start)
        entries[self.equations.pattern.diagonal] -= pull
        factors = self.linear(entries)
        back, aside = factors.solve(r - held), factors.solve(-held)
        # of the points on the branch the one in the plane across the step
        more = _dot(self.along, back) / (self.let - _dot(self.along, aside))
        change = -back - aside * more
        moved = np.sqrt(_dot(change, change) + more**2)
        # a root at zero flow throws a full step to and fro
        damping = np.where((self.tries > 0) & (moved > 0.5 * self.before), 0.5, 1.0)
        self.before = moved
        self.y, self.new = self.y + damping * change, self.new + damping * more
        self.tries += 1
        self.found.iterations[self.at] += 1

        first = self.sign == 0.0
        size = np.sqrt(_dot(aside, aside) + 1.0)
        straight = self.let - _dot(self.along, aside)  # cosine, but for the size
        sharp = np.abs(straight) < BENT * size
        let = np.where(first, -1.0, np.sign(straight)) / size
        if (sharp | first).any():
            sign = factors.sign()
            self.sign = np.where(first, sign, self.sign)
            let = np.where(sharp, np.where(sign == self.sign, -1.0, 1.0) / size, let)
        along = -aside * let
        turn = straight * let
        near = moved < self.near
        bent = ~first & (turn < BENT) & (self.length > SHARP)
        on = near & ~bent
        far = moved > 3.0 * np.maximum(self.length, FIRST)
        off = ~on & (~np.isfinite(moved) | near | far | (self.tries >= TRIES))
        np.copyto(self.x, self.y, where=on)
        np.copyto(self.along, along, where=on)
        self.spring, self.let = np.where(on, self.new, self.spring), np.where(on, let, self.let)
        easy = (self.tries <= QUICK) & (turn > STRAIGHT)
        next_ = np.where(easy, 2.0, np.where(self.tries <= SOME, 1.2, 0.7))
        longer = np.minimum(self.length * next_, LONGEST)
        self.length = np.where(on, longer, np.where(off, self.length / 3.0, self.length))
        self._step(on | off)
        self._leave(on)

    def _step(self, where: Bools) -> None:
        """Go a step along the branch, to be corrected."""
        self.y = np.where(where, self.x + self.length * self.along, self.y)
        self.new = np.where(where, self.spring + self.length * self.let, self.new)
        self.tries[where] = 0

    def _leave(self, on: Bools) -> None:
        """Take out those that are at an end of their branch, or cannot go on."""
        arrived = on & (self.spring < FREE)
        over = arrived | (self.length < LEAST) | (self.spring > HELD + 1.0)
        if not over.any():
            return
        at = self.at[over]
        self.found.x[:, at], self.found.arrived[at] = self.x[:, over], arrived[over]
        k = np.flatnonzero(~over)
        self.chosen.keep(k)
        for name in ("start", "x", "y", "firm", "along"):
            setattr(self, name, getattr(self, name)[:, k])
        for name in ("at", "spring", "new", "let", "sign", "length", "before", "tries"):
            setattr(self, name, getattr(self, name)[k])


def _dot(a: Array, b: Array) -> Array:
    """Products of the columns of two ways, of length 1 for the unit of pressure."""
    found: Array = np.einsum("iv,iv->v", a, b) / UNIT**2
    return found
