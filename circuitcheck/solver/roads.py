"""The roads to an operating point, tried in turn: from smooth laws to exact ones.

Where damped Newton from rest fails, corners are rounded or bands widened first and then
sharpened step by step, each point the start of the next; then come other starts.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from circuitcheck.laws.smoothing import EXACT, Array, Smoothing
from circuitcheck.solver.branch import COARSE, FINE, let_go
from circuitcheck.solver.equations import Bools, Equations, Ints
from circuitcheck.solver.linear import is_large
from circuitcheck.solver.march import march
from circuitcheck.solver.newton import STILL, Outcome, newton

FEW_PASSES = 25
"""Passes after which a point that should have been near is not."""

LOOSE = 1e5
"""Times the tolerance that serves on the way, where a point is only the next start."""

SHARPENED = tuple(
    Smoothing(e, tails=True, creep=c) for e, c in ((0.3, 1e3), (0.1, 300), (0.03, 100), (0.01, 30))
)

SMALL_STEPS = (
    *(
        Smoothing(0.02 * 15.0**t, tails=True, widen=1000.0**t, creep=10.0 * 100.0**t)
        for t in np.linspace(1.0, 0.0, 40).tolist()
    ),
    *(Smoothing(e, tails=True, creep=10.0) for e in (0.01, 0.005, 0.002)),
    *(Smoothing(creep=c) for c in (10.0, 3.0)),
    EXACT,
)
"""From wide bands in steps so small that the points of a branch follow from each other: for nested
pilot lines that jump from one state to another when bands narrow quickly."""

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
    ("wide bands, narrowed in small steps", SMALL_STEPS),
)
"""Smoothings tried one after the other, each from the last result; cold start each road."""

LOTS = (200.0, 100.0, 20.0, 300.0)
"""Highest pressures of starts by lot, the same in every run [bar]. From nothing, where both
sides of a pair of pilot checks are alike and shut, the first step says little about which
opens; from uneven pressures nearly all are found (own measurement: of 78 such states one
start found 77, and all starts and roads that found a point found the same)."""

BRANCHES = ((COARSE, 100.0), (COARSE, 20.0), (FINE, 0.0), (FINE, 200.0))
"""Further branches, tried where the one from cold leads nowhere: the correction in which they are
followed, and the highest pressure of their start by lot [bar]."""

LAST_LOTS = (50.0, 150.0, 400.0, 5.0, 250.0, 30.0) * 5
"""The same when nothing else has led to an answer."""

HOPELESS = 5
"""Roundings in a row at which a variant has come to no point, after which it leaves the road: a
state without a point would take all passes at each of them, 60 s in all for four unknowns (own
measurement)."""

WIDE_LOTS = (150.0, 50.0, 300.0, 20.0) * 6
"""The same with wide bands narrowed in small steps, last of all: a load-sensing circuit of six
sections, in which nothing else led to the point, came there so (own measurement)."""

FIRST_FOR_LARGE: tuple[tuple[str, tuple[Smoothing, ...]], ...] = (
    (
        "rounded corners, sharpened quickly",
        (
            Smoothing(0.3, tails=True, widen=3.0, creep=300.0),
            Smoothing(0.02, tails=True, creep=30.0),
            EXACT,
        ),
    ),
)
"""The first road of circuits too large for dense factors: long rows of checks and reliefs
take hundreds of iterations directly (own measurement: 46 for 1,000 junctions, 200 without an
answer for 50,000). Bands three times as wide first, then one rounding: 26 to 36 iterations for
grids of 10,000 junctions, 81 to 95 for ladders; another rounding in between makes 31 to 39 and
74 to 89 of them, but the grid is what takes longest."""


Words = np.ndarray[Any, np.dtype[np.object_]]


@dataclass
class Solved:
    """The answer for all variants: how each was found, or that it was not."""

    x: Array
    solved: Bools
    step: Array
    iterations: Ints
    method: Words

    @classmethod
    def none(cls, x: Array, variants: int) -> Solved:
        """Nothing solved yet."""
        return cls(
            x.copy(),
            np.zeros(variants, dtype=bool),
            np.full(variants, np.inf),
            np.zeros(variants, dtype=np.int64),
            np.full(variants, "not solved", dtype=object),
        )

    def take(self, outcome: Outcome, which: Ints, method: str) -> None:
        """Take over what a road gave for the variants ``which``, all it worked on."""
        self.x[:, which] = outcome.x
        self.step[which] = outcome.step
        self.solved[which] = outcome.solved
        self.method[which[outcome.solved]] = method

    def take_first(self, outcome: Outcome, of: Ints, method: str) -> None:
        """The same where several columns may be starts for one variant; ``of`` is that of each."""
        np.add.at(self.iterations, of, outcome.iterations)
        good = np.flatnonzero(outcome.solved)[::-1]  # of several the first
        which = of[good]
        self.x[:, which], self.step[which] = outcome.x[:, good], outcome.step[good]
        self.solved[which], self.method[which] = True, method

    def join(self, other: Solved, which: Ints) -> None:
        """Take over the variants ``which`` of another answer."""
        self.x[:, which] = other.x[:, which]
        self.step[which], self.solved[which] = other.step[which], other.solved[which]
        self.iterations[which] += other.iterations[which]
        self.method[which] = other.method[which]


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
    """Let variants run from rest, then narrow the still zone to its true width."""
    before = Smoothing(creep=100.0)
    x, work = march(equations, x, before, which)
    for s in (before, Smoothing(creep=10.0), EXACT):
        x = _carried(equations, x, before, s)
        last = newton(equations, x, s, which)
        work += last.iterations
        left = np.flatnonzero(~last.solved)
        if len(left):
            x[:, left], more = march(equations, x[:, left], s, which[left])
            again = newton(equations, x[:, left], s, which[left])
            work[left] += more + again.iterations
            last.x[:, left], last.step[left] = again.x, again.step
            last.solved[left] = again.solved
        x = np.where(last.solved, last.x, x)
        before = s
    return Outcome(last.x, last.solved, last.step, work)


def _travelled(
    equations: Equations,
    path: Array,
    which: Ints,
    smoothings: tuple[Smoothing, ...],
    leave: float = 0.0,
) -> Outcome:
    """Go along one road from the columns ``path``, shape (n, len(which)).

    ``leave`` is the share of them that is not waited for on the way, and a third of it at the end.
    """
    count = len(which)
    work, missed = np.zeros(count, dtype=np.int64), np.zeros(count, dtype=np.int64)
    solved, step = np.zeros(count, dtype=bool), np.full(count, np.inf)
    on: Ints = np.arange(count)
    for before, s in zip((smoothings[0], *smoothings), smoothings, strict=False):
        if missed.any():
            solved[on], on = False, np.flatnonzero(missed < HOPELESS)
        here = _carried(equations, path[:, on], before, s)
        loose, few = (1.0, leave / 3.0) if s is EXACT else (LOOSE, leave)
        last = newton(equations, here, s, which[on], loose=loose, leave=few)
        work[on] += last.iterations
        missed[on] = np.where(last.solved, 0, missed[on] + 1)
        good = np.isfinite(last.x).all(axis=0)
        path[:, on] = np.where(good, last.x, here)
        solved[on], step[on] = last.solved, last.step
    return Outcome(path, solved, step, work)


def _along(
    equations: Equations,
    start: Array,
    which: Ints,
    smoothings: tuple[Smoothing, ...],
    name: str,
    result: Solved,
    leave: float = 0.0,
) -> None:
    """Take variants along one road from ``start``, shape (n, variants); ``leave`` as above."""
    last = _travelled(equations, start[:, which].copy(), which, smoothings, leave)
    result.iterations[which] += last.iterations
    result.take(last, which, name)


def _along_branch(
    equations: Equations, start: Array, which: Ints, near: float, result: Solved
) -> None:
    """Take variants along the branch of points from ``start``, shape (n, variants)."""
    way = let_go(equations, start[:, which], which, near)
    last = newton(equations, way.x, EXACT, which)
    result.iterations[which] += way.iterations + last.iterations
    result.take(last, which, "held, and let go along a branch")


def _by_lot(
    equations: Equations,
    cold: Array,
    highest: tuple[float, ...],
    left: Callable[[], Ints],
    result: Solved,
    smoothings: tuple[Smoothing, ...] = ROADS[0][1],
) -> None:
    """Take variants that are ``left`` from pressures drawn by lot, directly if not said else."""
    for number, most in enumerate(highest, len(highest)):  # other lots in each row
        if not len(which := left()):
            return
        start = _lot(equations, cold, number, most)
        _along(equations, start, which, smoothings, "from a start by lot", result)


def _lot(equations: Equations, cold: Array, number: int, most: float) -> Array:
    """Draw a start by lot, its pressures up to ``most`` [bar]; shape (n, variants)."""
    lots = np.random.default_rng(number).uniform(0.0, most, (equations.n, 1))
    return equations.held_at(np.where(equations.pressure_rows[:, None], lots, cold))


def find_soon(equations: Equations, among: Ints, leave: float) -> Solved:
    """Solve variants on the first road alone; ``leave`` as in `_along`."""
    cold = equations.start()
    result = Solved.none(cold, equations.variants)
    name, smoothings = (FIRST_FOR_LARGE if is_large(equations) else ROADS)[0]
    _along(equations, cold, among, smoothings, name, result, leave)
    return result


def find(
    equations: Equations,
    start: Array | None = None,
    among: Ints | None = None,
    directly: bool = True,
    patiently: bool = True,
) -> Solved:
    """Solve every variant, road by road; what no road solves is left marked as not solved.

    ``start`` takes the place of the cold start, shape (n, variants); variants that are not
    ``among`` those wanted are left as they are. Not ``directly``: the first road was tried.
    Not ``patiently``: without the last roads, which are long and which only 16 of 100,000 states
    needed (own measurement).
    """
    cold = equations.start() if start is None else start
    wanted: Ints = np.arange(equations.variants) if among is None else among
    result = Solved.none(cold, equations.variants)

    def left() -> Ints:
        which: Ints = wanted[~result.solved[wanted]]
        return which

    first = (FIRST_FOR_LARGE if is_large(equations) else ()) + ROADS[:1]
    for name, smoothings in first if directly else ():
        if len(which := left()):
            _along(equations, cold, which, smoothings, name, result)
    if len(which := left()):
        _along_branch(equations, cold, which, COARSE, result)
    for name, smoothings in ROADS[1:2]:
        if len(which := left()):
            _along(equations, cold, which, smoothings, name, result)
    for number, (near, most) in enumerate(BRANCHES):
        if len(which := left()):
            _along_branch(equations, _lot(equations, cold, number, most), which, near, result)
    _by_lot(equations, cold, LOTS, left, result)
    if not patiently:
        return result
    for name, smoothings in ROADS[2:]:
        if len(which := left()):
            _along(equations, cold, which, smoothings, name, result)
    if len(which := left()):
        last = _run_from_rest(equations, cold[:, which], which)
        result.iterations[which] += last.iterations
        last.x = np.where(last.solved, last.x, result.x[:, which])
        result.take(last, which, "run from rest")
    _by_lot(equations, cold, LAST_LOTS, left, result)
    if not is_large(equations):
        _by_lot(equations, cold, WIDE_LOTS, left, result, SMALL_STEPS)
    return result


def find_again(equations: Equations, start: Array, among: Ints) -> Solved:
    """Solve variants from a start far off, as far as that takes no longer than the first time.

    Only the roads that mostly lead from there are taken, not the slow ones after them.
    """
    result = Solved.none(start, equations.variants)
    for name, smoothings in ROADS[:3]:
        which: Ints = among[~result.solved[among]]
        if len(which):
            _along(equations, start, which, smoothings, name, result)
    return result


def find_directly(equations: Equations, starts: Sequence[Array], among: Ints) -> list[Solved]:
    """Solve variants from several starts, each of shape (n, variants), on the first road alone.

    All starts are on the road together, which takes little longer than one.
    """
    name, smoothings = ROADS[0]
    path = np.hstack([start[:, among] for start in starts])
    last = _travelled(equations, path, np.tile(among, len(starts)), smoothings)
    found = []
    for i, start in enumerate(starts):
        own = slice(i * len(among), (i + 1) * len(among))
        result = Solved.none(start, equations.variants)
        result.iterations[among] += last.iterations[own]
        result.take(
            Outcome(last.x[:, own], last.solved[own], last.step[own], last.iterations[own]),
            among,
            name,
        )
        found.append(result)
    return found


def find_near(
    equations: Equations,
    x: Array,
    among: Ints | None = None,
    name: str = "from before",
    passes: int = FEW_PASSES,
) -> Solved:
    """Solve variants from points that are near, x of shape (n, variants), if that is quick."""
    wanted: Ints = np.arange(equations.variants) if among is None else among
    result = Solved.none(x, equations.variants)
    outcome = newton(equations, equations.held_at(x)[:, wanted], EXACT, wanted, passes)
    result.iterations[wanted] += outcome.iterations
    result.take(outcome, wanted, name)
    return result
