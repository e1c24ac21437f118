"""Looks for a second operating point where pressures elsewhere help valves to open.

Pilot lines feed back: with high pilot ratios the same step can have several steady points,
and which one a machine takes depends on where it comes from. Such circuits are solved from a
second start; where that leads elsewhere, it is said.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.laws.net import PRESSURE, Bools
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.equations import Equations, Ints
from circuitcheck.solver.linear import is_large
from circuitcheck.solver.operating import Solution
from circuitcheck.solver.roads import Solved, find, find_again

UNEVEN = 150.0
"""Highest pressure of the second start, drawn by lot but the same in every run [bar]."""

EVEN = 150.0
"""Pressure of all junctions of a large circuit in its second start [bar]: what pilot lines open is
open there, and shut in the cold start. From pressures by lot hundreds of valves have to come right
at once, and no road leads on (own measurement: 125 load-sensing sections and more; from even
pressures Newton arrives in 20 passes)."""

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


def _other(equations: Equations, found: Solved) -> Solved:
    """Where the second start leads; in a large circuit as far as that is found out quickly."""
    which: Ints = np.flatnonzero(found.solved)
    if is_large(equations):
        return find_again(equations, _second_start(equations, EVEN), which)
    lots = np.random.default_rng(0).uniform(0.0, UNEVEN, (equations.n, 1))
    return find(equations, _second_start(equations, lots), which)


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


def second_points(answer: Answer, result: Solution) -> list[Finding]:
    """Solve all steps from another start and name those that settle elsewhere.

    A step that already has a second point, by a start of its own, is not named again.
    """
    equations, found = answer.equations, answer.found
    if not is_piloted(answer) or not found.solved.any():
        return []
    other = _other(equations, found)
    one, two = answer.whole / 1e5, equations.full(other.x) / 1e5
    names = [u.name for u in answer.system.unknowns]
    flows = np.array([u.kind == PRESSURE for u in answer.system.unknowns], dtype=bool)
    apart = np.abs(one - two) / (1.0 + np.abs(one))
    apart = np.where(flows[:, None] & ~answer.loose, apart, 0.0)
    known = np.array([bool(point.others) for point in result.points], dtype=bool)
    said = _nowhere(answer, found.solved & ~other.solved)
    differ = found.solved & other.solved & (apart.max(axis=0) > APART) & ~known
    for i in np.flatnonzero(differ).tolist():
        step, at = answer.case.steps[i], int(np.argmax(apart[:, i]))
        said.append(
            Finding(
                slug="several-operating-points",
                severity=Severity.WARNING,
                message=f"step {step.name} has more than one steady point: {names[at]} at "
                f"{one[at, i]:.3g} bar (shown, found {found.method[i]}) or at "
                f"{two[at, i]:.3g} bar (found {other.method[i]}, from a second start)",
                place=step.place,
                step=step.name,
                remedy="pilot lines feed back here; a lower pilot ratio, or a pilot line from "
                "another place, leaves one",
            )
        )
    return said
