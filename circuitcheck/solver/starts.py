"""Where a part may stand on two operating points: led from its natural start, or another.

What is led (a shaft, a pilot pressure) is held at its start while all the rest settles, and
then let go in implicit steps of time, slowly beside the rest, until nothing moves. So a drive
that is loaded falls from its idle speed to the first speed at which it carries its load,
and no further; a drive that starts from a standstill stays below the first speed at which
it cannot get away.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from circuitcheck.components._parts import Starts
from circuitcheck.laws.net import Bools
from circuitcheck.laws.smoothing import EXACT, Array
from circuitcheck.solver.answer import Answer, answer
from circuitcheck.solver.equations import Equations, Ints
from circuitcheck.solver.linear import linear_for
from circuitcheck.solver.newton import newton
from circuitcheck.solver.results import view_of
from circuitcheck.solver.roads import Solved, find
from circuitcheck.solver.system import Case

HELD, FREE = 1e6, 1e-5
"""Inertia with which a led unknown stands still, and under which it is let go [bar a unit]."""

NEARBY = 0.03
"""Share of the way between both starts that one step may go; own choice."""

APART = 1e-3
"""Share of the same way beyond which two points are two."""

STAGES, PASSES = 160, 20
"""Steps on the way, and passes of Newton in each: one that needs more is cut smaller."""

METHOD = "led from the natural start"


@dataclass
class Led:
    """One part that may have two points: its starts, the row that is led, its name."""

    part: str
    starts: Starts
    row: int

    def value(self, equations: Equations, second: bool) -> Array:
        """Start of its unknown, scaled, (variants,)."""
        start = self.starts.second if second else self.starts.natural
        scale = equations.scale[equations.free[self.row]]
        return np.broadcast_to(start / scale, (equations.variants,))

    def way(self, equations: Equations) -> Array:
        """Way between both starts, scaled, (variants,)."""
        way: Array = np.abs(self.value(equations, True) - self.value(equations, False))
        return np.maximum(way, 1e-9)


@dataclass
class Point:
    """Where one start leads, for some variants: unknowns, which got there, work, last step."""

    x: Array
    arrived: Bools
    iterations: Ints
    step: Array


def led_parts(found: Answer) -> list[Led]:
    """Parts of a solved case that may have two points, with the row that is led."""
    place = {int(unknown): row for row, unknown in enumerate(found.equations.free)}
    led: dict[int, Led] = {}
    for part in found.case.circuit.parts.values():
        if part.kind.starts is None:
            continue
        ports = found.ports_of.get(part.name, {})
        for starts in part.kind.starts(part, view_of(found, part)):
            unknown = ports.get(starts.at) if starts.at else found.owners.get(part.name)
            row = None if unknown is None else place.get(unknown)
            if row is not None and (starts.doubt | starts.worth).any():
                led.setdefault(row, Led(part.name, starts, row))
    return list(led.values())


def settled(
    case: Case, before: Answer | None = None, along: bool = False, start: Array | None = None
) -> Answer:
    """Solve a case; where a part is in doubt, its point is the one of its natural start.

    ``before`` is the answer under another history of the steps: what was led there is not
    led anew where its point leads straight to the new one. ``along``, ``start``: as for
    `answer`.
    """
    found = answer(case, before, along, start)
    led = led_parts(found)
    if not led:
        return found
    doubt = _doubt(led) | ~found.found.solved
    if before is not None and before.found.x.shape == found.found.x.shape:
        again = np.asarray(before.found.method == METHOD)
        which: Ints = np.flatnonzero(again & doubt)
        if len(which):
            last = newton(found.equations, before.found.x[:, which], EXACT, which)
            near = Point(last.x, last.solved, last.iterations, last.step)
            found = _with(found, which, near)
            doubt = _doubt(led_parts(found)) | ~found.found.solved
    which = np.flatnonzero(doubt)
    if not len(which):
        return found
    point = follow(found.equations, led, which, np.zeros(len(led), dtype=bool))
    return _with(found, which, point)


def _doubt(led: list[Led]) -> Bools:
    doubt: Bools = np.any([one.starts.doubt for one in led], axis=0)
    return doubt


def _with(found: Answer, which: Ints, point: Point) -> Answer:
    """Give the answer with other points where these arrived; the work is added up."""
    solved = found.found
    good = which[point.arrived]
    x, success, step = solved.x.copy(), solved.solved.copy(), solved.step.copy()
    x[:, good] = point.x[:, point.arrived]
    success[good] = True
    step[good] = point.step[point.arrived]
    iterations, method = solved.iterations.copy(), solved.method.copy()
    iterations[which] += point.iterations
    method[good] = METHOD
    made = Solved(x, success, step, iterations, method)
    return replace(found, found=made)


def apart(equations: Equations, led: list[Led], x: Array, y: Array) -> Bools:
    """Where two points of a circuit are two, by what is led; shape (variants,)."""
    far = [np.abs(x[o.row] - y[o.row]) > APART * o.way(equations) for o in led]
    found: Bools = np.any(far, axis=0)
    return found


def follow(equations: Equations, led: list[Led], which: Ints, second: Bools) -> Point:
    """Lead parts from their natural start, or their second where ``second`` (parts,) holds."""
    rows = np.array([one.row for one in led])
    start = np.stack([o.value(equations, bool(s)) for o, s in zip(led, second, strict=True)])
    way = np.stack([one.way(equations) for one in led])[:, which]
    x = equations.start()
    x[rows] = np.where(equations.stay[rows], x[rows], start)
    slow = np.zeros_like(x)
    slow[rows] = HELD
    held = find(equations.paced(slow, x), x, which, patiently=not second.any())
    x, count = held.x.copy(), len(which)
    heavy = np.full((len(led), count), HELD)
    lost: Bools = ~held.solved[which]
    done = np.zeros(count, dtype=bool)
    work = held.iterations[which].copy()
    for _ in range(STAGES):
        live: Ints = np.flatnonzero(~(lost | done))
        if not len(live):
            break
        now = which[live]
        slow[np.ix_(rows, now)] = heavy[:, live]
        last = newton(equations.paced(slow, x), x[:, now], EXACT, now, PASSES)
        work[live] += last.iterations
        moved = np.abs(last.x[rows] - x[np.ix_(rows, now)]) / way[:, live]
        far = ~last.solved | (moved > 2.0 * NEARBY).any(axis=0)
        longest = moved.max(axis=0)
        x[:, now] = np.where(far, x[:, now], last.x)
        least = 2.0 * np.maximum(_pull(equations, x, now, rows), 0.0)
        factor = np.where(far, 8.0, np.clip(longest / NEARBY, 0.01, 1.0))
        heavy[:, live] = np.maximum(heavy[:, live] * factor, least)
        lost[live] = heavy[:, live].max(axis=0) > 1e3 * HELD
        done[live] = ~far & (heavy[:, live] < FREE).all(axis=0)
    final = newton(equations, x[:, which], EXACT, which)
    work += final.iterations
    near = (np.abs(final.x[rows] - x[np.ix_(rows, which)]) < NEARBY * way).all(axis=0)
    return Point(final.x, done & final.solved & near, work, final.step)


def _pull(equations: Equations, x: Array, which: Ints, rows: Ints) -> Array:
    """Slope of each led balance when all the rest follows at once, (parts, len(which)).

    Above zero it runs away from where it is, below it comes back: the inverse of the entry
    of the inverse Jacobian (Schur complement of the rest).
    """
    _, entries = equations.chosen(which).residual(x[:, which], EXACT)
    factors = linear_for(equations, len(which))(entries)
    pull = np.zeros((len(rows), len(which)))
    for i, row in enumerate(rows):
        unit = np.zeros((equations.n, len(which)))
        unit[row] = 1.0
        answer = factors.solve(unit)[row]
        pull[i] = np.where(np.isfinite(answer) & (answer != 0.0), 1.0 / answer, 0.0)
    return pull


def stable(equations: Equations, x: Array, which: Ints, led: list[Led]) -> Bools:
    """Where a steady point comes back to itself when what is led is disturbed.

    The rest follows at once; then the slopes of the led balances, a small matrix, must have
    no eigenvalue to the right. Shape (len(which),).
    """
    rows = np.array([one.row for one in led])
    _, entries = equations.chosen(which).residual(x[:, which], EXACT)
    factors = linear_for(equations, len(which))(entries)
    part = np.zeros((len(which), len(rows), len(rows)))
    for i, row in enumerate(rows):
        unit = np.zeros((equations.n, len(which)))
        unit[row] = 1.0
        part[:, :, i] = factors.solve(unit)[rows].T
    finite = np.isfinite(part).all(axis=(1, 2))
    part[~finite] = np.eye(len(rows))
    back = np.linalg.eigvals(part).real
    found: Bools = finite & np.all(back < 0.0, axis=1)
    return found
