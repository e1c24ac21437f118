"""How much a result changes with a figure: d speed / d relief setting, by one adjoint solve.

The unknowns x follow the figures u by r(x, u) = 0, a result is y = h(x, u). Then
dy/du = dh/du - a dr/du with J^T a = dh/dx: the transposed Jacobian is solved once for a
result, whatever the number of figures (adjoint method; standard, from memory). How balances
and results change with a figure is found by building the case with two values of it, at the
same x; how results change with x likewise. What a step finds from earlier steps (places,
latches, stored oil) is held.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import splu

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.quantities import quantity_object
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.model import Circuit, Step
from circuitcheck.circuit.subjects import Subject
from circuitcheck.circuit.varied import NO_FIGURES, OIL_NAME, Varied, find_varied, words_of
from circuitcheck.laws.net import System
from circuitcheck.laws.smoothing import EXACT, Array
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.asked import Results, find_result
from circuitcheck.solver.equations import Equations
from circuitcheck.solver.fitted import NUMERICAL, same
from circuitcheck.solver.operating import Solution
from circuitcheck.solver.roads import Solved
from circuitcheck.solver.sides import both_sides, side_by_side, value_of
from circuitcheck.solver.system import History, build

PUSHED = 1e-4
"""Step of an unknown, in its scaled units (bar and their like)."""

ASKED = "sensitivity"
"""Where findings about names stand that nobody wrote into a file."""

AT_A_TIME = 200
"""Unknowns pushed together, which bounds the memory."""


@dataclass(frozen=True)
class Sensitivity:
    """How a result changes with a figure: ``slope``, ``at`` (the figure) and ``result`` in SI.

    ``share`` is the change of the result in per cent for one per cent of the figure, NaN
    where the result is nothing; ``quantity`` the slope as a pint object. The slope is NaN of a
    figure that brings in other elements when it is varied.
    """

    figure: Varied
    subject: Subject
    slope: float
    at: float
    result: float

    @property
    def share(self) -> float:
        return self.slope * self.at / self.result if self.result else float("nan")

    @property
    def quantity(self) -> Any:
        one = _apart(self.subject.quantity)
        return self.slope * one / _apart(self.figure.quantity)


def sensitivities(
    answer: Answer, subject: Subject, figures: Sequence[Varied], step: int
) -> list[Sensitivity]:
    """Give the sensitivities of one result to many figures in a step of a solved case.

    ``subject`` is what `asked.find_subject` gives, ``figures`` what `varied.find_varied` gives.

    Raises
    ------
    ValueError
        If the step was not solved, a figure or the result has no value in it, or slopes are
        not defined.
    """
    if not answer.found.solved[step]:
        raise ValueError(f"step {answer.case.steps[step].name} is not solved, it has no slopes")
    alone = _again(answer, step, {}, answer.whole[:, [step]])
    now = float(_of(alone, subject)[0])
    if math.isnan(now):
        asked_for = " ".join(filter(None, (subject.name, subject.port, subject.what)))
        name = answer.case.steps[step].name
        raise ValueError(f"'{asked_for}' has no value in step {name}, it has no slopes")
    adjoint = _adjoint(alone, subject)
    values = np.array([value_of(alone.case, figure) for figure in figures])
    low, high = both_sides(figures, values)
    changed = _changed(alone, adjoint, subject, figures, values, low, high)
    return [
        Sensitivity(figure, subject, float(slope), float(value), now)
        for figure, slope, value in zip(figures, changed / (high - low), values, strict=True)
    ]


def _changed(
    alone: Answer,
    adjoint: Array,
    subject: Subject,
    figures: Sequence[Varied],
    values: Array,
    low: Array,
    high: Array,
) -> Array:
    """Give by how much a result changes from the lower to the higher side of every figure.

    A figure that brings in other elements when it is varied is found by halves, so that it
    stands alone and spoils no other; it has no slope, NaN.
    """
    if not len(figures):
        return np.zeros(0)
    changes = side_by_side(alone.case, figures, values, low, high)
    count = 2 * len(figures) + 1
    pushed = _again(alone, 0, changes, np.repeat(alone.whole, count, axis=1))
    if not _built_alike(pushed.system, alone.system):
        if len(figures) == 1:
            return np.array([np.nan])
        # figures that stand at zero switch something off: they are the likely ones
        order = np.argsort(values == 0.0, kind="stable")
        middle = int((values != 0.0).sum()) if 0.0 in values and values.any() else len(order) // 2
        found = np.empty(len(figures))
        for some in (order[:middle], order[middle:]):
            chosen = [figures[i] for i in some]
            found[some] = _changed(
                alone, adjoint, subject, chosen, values[some], low[some], high[some]
            )
        return found
    equations = alone.equations
    balance = pushed.balance[equations.free] / equations.row_scale[equations.free, None]
    result = _of(pushed, subject)
    opened = adjoint @ (balance[:, 1:-1:2] - balance[:, :-1:2])
    moved: Array = result[1:-1:2] - result[:-1:2] - opened
    return moved


def _built_alike(pushed: System, alone: System) -> bool:
    """Whether figures that are varied left the elements as they are.

    Same laws between same ends, with the same coefficients where nothing is varied (the last
    variation); the same unknowns held.
    """
    ends = [[(e.law, e.part, e.name, e.terminals) for e in s.elements] for s in (pushed, alone)]
    held = [[u.pinned for u in s.unknowns] for s in (pushed, alone)]
    if ends[0] != ends[1] or len(held[0]) != len(held[1]):
        return False
    if any((own != is_held).any() for own, is_held in zip(*held, strict=True)):
        return False
    return all(
        own.coefficients.keys() == other.coefficients.keys()
        and all(
            same(row[..., -1:], other.coefficients[name])
            for name, row in own.coefficients.items()
            if name not in NUMERICAL
        )
        for own, other in zip(pushed.elements, alone.elements, strict=True)
    )


def _of(answer: Answer, subject: Subject) -> Array:
    found: Array = np.broadcast_to(Results(answer).of(subject), (answer.case.variants,))
    return found


def _apart(quantity: str) -> Any:
    """One unit of a quantity, as a difference: degrees are no temperature then."""
    return quantity_object(1.0, quantity) - quantity_object(0.0, quantity)


def _again(
    answer: Answer, step: int, changes: Mapping[tuple[str, str], Array], whole: Array
) -> Answer:
    """Build one step anew at ``whole``, (unknowns, variations), without solving it."""
    case, many = answer.case, whole.shape[1]
    which = np.full(many, step)
    before = case.history
    there = replace(
        case,
        steps=[case.steps[step]],
        changes={**case.changes, **changes},
        variations=many,
        directions={name: way[which] for name, way in case.directions.items()},
        history=History(
            {name: a[which] for name, a in before.stopped.items()},
            {name: a[which] for name, a in before.latched.items()},
            {name: a[which] for name, a in before.places.items()},
            {name: a[which] for name, a in before.stored.items()},
            {name: a[which] for name, a in before.excess.items()},
            None if before.durations is None else before.durations[which],
        ),
    )
    system = build(there)
    for index, unknown in enumerate(answer.system.unknowns):
        # what nothing decides, or nothing works on, is set aside here as it was there
        if unknown.pinned[step] and not system.unknowns[index].pinned.any():
            system.pin(index, unknown.pin[step])
    equations = Equations(system)
    found = Solved.none(equations.scaled(whole), many)
    return Answer(there, system, equations, found, answer.loose[:, which], [], [])


def _adjoint(alone: Answer, subject: Subject) -> Array:
    """Solve J^T a = dh/dx, shape (n,): a is what the result gains by oil that is added to
    each balance, with the sign turned."""
    equations = alone.equations
    n = equations.n
    if n == 0:
        return np.zeros(0)
    _, entries = equations.chosen(np.array([0])).residual(alone.found.x, EXACT)
    jacobian = sp.csc_matrix(
        (entries[:, 0], (equations.pattern.rows, equations.pattern.columns)), shape=(n, n)
    )
    slope = np.zeros(n)
    for first in range(0, n, AT_A_TIME):
        some = np.arange(first, min(first + AT_A_TIME, n))
        whole = np.repeat(alone.whole, 2 * len(some), axis=1)
        step, free = PUSHED * equations.scale[equations.free[some]], equations.free[some]
        whole[free, 2 * np.arange(len(some))] -= step
        whole[free, 2 * np.arange(len(some)) + 1] += step
        result = _of(_again(alone, 0, {}, whole), subject)
        slope[some] = (result[1::2] - result[::2]) / (2.0 * PUSHED)
    try:
        found: Array = splu(jacobian.T.tocsc()).solve(slope)
    except RuntimeError as error:  # exactly singular
        raise ValueError("the step stands where slopes are not defined") from error
    return found


def all_figures(circuit: Circuit, step: Step) -> list[str]:
    """Names of all figures that a text gives its parts, and of what a step orders."""
    names = [f"{OIL_NAME} temperature"]
    for part in circuit.parts.values():
        own = [
            name
            for name in part.figures
            if (like := part.kind.parameter(name)) is not None and like.quantity not in NO_FIGURES
        ]
        orders = step.orders.get(part.name)
        own += [] if orders is None else list(orders.figures)
        names += [f"{part.name} {name}" for name in dict.fromkeys(own)]
    return names


def asked(
    solution: Solution, result: str, figures: Sequence[str], step: str, findings: list[Finding]
) -> list[Sensitivity]:
    """Give sensitivities by names, as `Project.sensitivities` says; mistakes are ``findings``.

    The lines of their places: the result first, then the figures.
    """
    circuit, answer = solution.circuit, solution.answer
    names = [point.step.name for point in solution]
    if answer is None or (step and step not in names) or (not step and len(names) > 1):
        raise KeyError(step)
    number = names.index(step) if step else 0
    there = answer.case.steps[number]
    desk = Desk({}, set(), findings)
    rows = list(figures) or all_figures(circuit, there)
    subject = find_result(desk, answer, words_of(result, ASKED, 1))
    found = [
        find_varied(desk, circuit, [there], words_of(row, ASKED, i))
        for i, row in enumerate(rows, 2)
    ]
    if subject is None or desk.errors:
        return []
    known = [figure for figure in found if figure is not None]
    slopes = sensitivities(answer, subject, known, number)
    if not figures:
        sloping = [one for one in slopes if not math.isnan(one.slope)]
        return sorted(sloping, key=lambda one: -abs(one.share))
    for one in slopes:
        if math.isnan(one.slope):
            raise ValueError(
                f"'{one.figure.text}' decides how {one.figure.part} is built in step "
                f"{there.name}: no slope there"
            )
    return slopes
