"""Looks for a second operating point where pressures elsewhere help valves to open.

Pilot lines feed back: with high pilot ratios the same step can have several steady points,
and which one a machine takes depends on where it comes from. Such circuits are solved from
second starts; where one leads elsewhere, it is said.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.laws.net import PRESSURE, Bools
from circuitcheck.laws.smoothing import EXACT, Array
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.equations import Equations, Ints
from circuitcheck.solver.linear import is_large, linear_for
from circuitcheck.solver.operating import Solution
from circuitcheck.solver.roads import Solved, find, find_again, find_directly
from circuitcheck.solver.structure import closed

EVEN = 150.0
"""Pressure of all junctions in the first of the second starts [bar]: what pilot lines open is open
there, and shut in the cold start."""

UNEVEN = 150.0
"""Highest pressure of the other one, drawn by lot but the same in every run [bar]. Not for large
circuits: hundreds of valves have to come right at once, and no road leads on (own measurement:
125 load-sensing sections and more; from even pressures Newton arrives in 20 passes)."""

APART = 1e-3
"""Difference from which two points are not one [bar, and share of the pressure]."""


def is_piloted(answer: Answer) -> bool:
    """Whether some passage is opened by a pressure that is not at its inlet."""
    return any(
        np.any(element.coefficients[name] > 0.0) and terminal != element.terminals[0]
        for element in answer.system.elements
        if element.law == "modulated"
        for i, terminal in enumerate(element.terminals)
        if (name := f"c{i}") in element.coefficients
    )


def _others(equations: Equations, found: Solved) -> Iterator[Solved]:
    """Where the second starts lead, one after the other; the first only as far as that is quick."""
    which: Ints = np.flatnonzero(found.solved)
    even = _second_start(equations, EVEN)
    if is_large(equations):
        yield find_again(equations, even, which)
        return
    drawn = np.random.default_rng(0).uniform(0.0, UNEVEN, (equations.n, 1))
    lots = _second_start(equations, drawn)
    first, second = find_directly(equations, (even, lots), which)
    yield first
    left = which[~second.solved[which]]
    if len(left):
        second.join(find(equations, lots, left, directly=False, patiently=False), left)
    yield second


def _second_start(equations: Equations, pressures: Array | float) -> Array:
    """Give the cold start with other pressures, (n, variants)."""
    cold = equations.start()
    return equations.held_at(np.where(equations.pressure_rows[:, None], pressures, cold))


def _nowhere(answer: Answer, lost: Bools) -> list[Finding]:
    """Name the steps in which a second start leads to no point, so that none is ruled out."""
    steps = [answer.case.steps[i] for i in np.flatnonzero(lost)]
    if not steps:
        return []
    names = ", ".join(dict.fromkeys(step.name for step in steps))
    return [
        Finding(
            slug="second-start-unsolved",
            severity=Severity.ADVICE,
            message=f"whether there is a second steady point was not found out in: {names}; "
            "from a second start the solver comes to none",
            place=steps[0].place,
            step=steps[0].name if len(steps) == 1 else "",
            remedy="pilot lines feed back here; a smaller circuit of the same valves can tell",
        )
    ]


def _lasts(equations: Equations, x: Array, which: Ints) -> Bools:
    """Where a steady point may last, (len(which),): one of the wrong sign is left by itself.

    Every balance falls with its own unknown, so the determinant of a point that lasts has the
    sign of as many minus ones as there are unknowns that are free to move.
    """
    _, entries = equations.chosen(which).residual(x[:, which], EXACT)
    sign = linear_for(equations, len(which))(entries).sign()
    moves = (~equations.stay[:, which]).sum(axis=0)
    lasts: Bools = sign * (-1.0) ** moves > 0.0
    return lasts


def _beyond(equations: Equations, found: Solved, other: Solved, which: Ints) -> Solved:
    """Put in the place of points that do not last those on their far side, as seen from the first.

    A point that is left by itself parts two that last (index of a fixed point; from memory).
    """
    passing = which[~_lasts(equations, other.x, which)]
    if not len(passing):
        return other
    (far,) = find_directly(equations, [equations.held_at(2.0 * other.x - found.x)], passing)
    if len(there := passing[far.solved[passing]]):
        good = there[_lasts(equations, far.x, there)]
        other.join(far, good)
    return other


def _apart(answer: Answer, other: Solved) -> Array:
    """How far apart the points are in each pressure, (unknowns, variants), as `APART`.

    Pressures that only leakage decides in one of both are left out: they are a matter of time.
    """
    second = replace(answer, found=other)
    pressures = np.array([u.kind == PRESSURE for u in answer.system.unknowns], dtype=bool)
    one, two = answer.whole / 1e5, second.whole / 1e5
    apart = np.where(pressures[:, None] & ~answer.loose, np.abs(one - two), 0.0)
    apart /= 1.0 + np.abs(one)
    if not (apart > APART).any():
        return apart
    shut = [closed(a.system, a.whole, a.values) for a in (answer, second)]
    found: Array = np.where(shut[0] | shut[1], 0.0, apart)
    return found


def _differ(answer: Answer, other: Solved) -> Bools:
    """Which steps another start has led to another point, (variants,)."""
    found: Bools = other.solved & (_apart(answer, other).max(axis=0) > APART)
    return found


def second_points(answer: Answer, result: Solution) -> list[Finding]:
    """Solve all steps from other starts and name those that settle elsewhere.

    A step that already has a second point, by a start of its own, is not named again.
    """
    equations, found = answer.equations, answer.found
    if not is_piloted(answer) or not found.solved.any():
        return []
    open_ = found.solved & ~np.array([bool(point.others) for point in result.points], dtype=bool)
    lost, said = found.solved.copy(), []
    for other in _others(equations, found):
        lost &= ~other.solved
        which: Ints = np.flatnonzero(_differ(answer, other) & open_)
        if not len(which):
            continue
        other = _beyond(equations, found, other, which)
        for i in np.flatnonzero(_differ(answer, other) & open_).tolist():
            said.append(_several(answer, other, i))
            open_[i] = False
    return _nowhere(answer, lost) + said


def _several(answer: Answer, other: Solved, i: int) -> Finding:
    """Say that the step ``i`` has two points, and where they differ most."""
    step, at = answer.case.steps[i], int(np.argmax(_apart(answer, other)[:, i]))
    points = (answer.whole, answer.equations.full(other.x))
    one, two = (f"{round(float(x[at, i]) / 1e5, 3) + 0.0:.3g} bar" for x in points)
    return Finding(
        slug="several-operating-points",
        severity=Severity.WARNING,
        message=f"step {step.name} has more than one steady point: "
        f"{answer.system.unknowns[at].name} at {one} (shown, found "
        f"{answer.found.method[i]}) or at {two} (found {other.method[i]}, from a second start)",
        place=step.place,
        step=step.name,
        remedy="pilot lines feed back here; a lower pilot ratio, or a pilot line from "
        "another place, leaves one",
    )
