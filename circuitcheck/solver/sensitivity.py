"""How much a result changes with a figure: d speed / d relief setting, by one adjoint solve.

The unknowns x follow the figures u by r(x, u) = 0, a result is y = h(x, u). Then
dy/du = dh/du - a dr/du with J^T a = dh/dx: the transposed Jacobian is solved once for a
result, whatever the number of figures (adjoint method; standard, from memory). How balances
and results change with a figure is found by building the case with two values of it, at the
same x; how results change with x likewise. What a step finds from earlier steps (places,
latches, stored oil) is held.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import splu

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.quantities import quantity_object, read_unit, to_si
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.model import Circuit, Step
from circuitcheck.circuit.subjects import Subject
from circuitcheck.circuit.varied import NO_FIGURES, OIL_NAME, Varied, find_varied, words_of
from circuitcheck.laws.smoothing import EXACT, Array
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.asked import Results, find_subject
from circuitcheck.solver.equations import Equations
from circuitcheck.solver.operating import Solution
from circuitcheck.solver.roads import Solved
from circuitcheck.solver.system import Case, History, build

SHARE = 1e-5
"""Step of a difference as a share of the figure; with both sides taken, what bends leaves
1e-10 of the slope."""

PUSHED = 1e-4
"""Step of an unknown, in its scaled units (bar and their like)."""

AT_A_TIME = 200
"""Unknowns pushed together, which bounds the memory."""


@dataclass(frozen=True)
class Sensitivity:
    """How a result changes with a figure: ``slope``, ``at`` (the figure) and ``result`` in SI.

    ``share`` is the change of the result in per cent for one per cent of the figure, NaN
    where the result is nothing; ``quantity`` the slope as a pint object.
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
        If the step was not solved, a figure has no value in it, or slopes are not defined.
    """
    if not answer.found.solved[step]:
        raise ValueError(f"step {answer.case.steps[step].name} is not solved, it has no slopes")
    alone = _again(answer, step, {}, answer.whole[:, [step]])
    adjoint = _adjoint(alone, subject)
    values = np.array([_value(alone.case, figure) for figure in figures])
    low, high = _sides(figures, values)
    # every figure in two variations of its own, all others as they are
    count = 2 * len(figures)
    changes = {}
    for i, (figure, value) in enumerate(zip(figures, values, strict=True)):
        changes[figure.key] = np.full(count, value)
        changes[figure.key][2 * i : 2 * i + 2] = low[i], high[i]
    pushed = _again(alone, 0, changes, np.repeat(alone.whole, count, axis=1))
    equations = alone.equations
    balance = pushed.balance[equations.free] / equations.row_scale[equations.free, None]
    result = _of(pushed, subject)
    changed = result[1::2] - result[::2] - adjoint @ (balance[:, 1::2] - balance[:, ::2])
    now = float(_of(alone, subject)[0])
    return [
        Sensitivity(figure, subject, float(slope), float(value), now)
        for figure, slope, value in zip(figures, changed / (high - low), values, strict=True)
    ]


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
    jacobian = sp.csc_matrix((entries[:, 0], (equations.rows, equations.columns)), shape=(n, n))
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


def _value(case: Case, figure: Varied) -> float:
    """The value of a figure in the only step of a case, SI."""
    step = case.steps[0]
    if figure.part == OIL_NAME and OIL_NAME not in case.circuit.parts:
        return case.circuit.oil_degC if step.oil_degC is None else step.oil_degC
    part = case.circuit.parts[figure.part]
    orders = step.orders.get(part.name)
    if figure.ordered and figure.name == "opening":
        return 1.0 if orders is None else orders.opening
    if figure.ordered and orders is not None and figure.name in orders.figures:
        return float(orders.figures[figure.name].value)
    value = case.value_of(part)(figure.name) if figure.figure else None
    if value is None:
        raise ValueError(f"'{figure.text}' has no value in step {step.name}")
    return float(np.asarray(value).ravel()[0])


def _sides(figures: Sequence[Varied], values: Array) -> tuple[Array, Array]:
    """Give a lower and a higher value of each figure, within what it can be."""
    low, high = np.empty_like(values), np.empty_like(values)
    for i, (figure, value) in enumerate(zip(figures, values, strict=True)):
        own = figure.parameter
        unit = read_unit(own.unit) if own.unit else None
        size = abs(value) or (1.0 if unit is None else to_si(1.0, unit) - to_si(0.0, unit))
        least = -np.inf if own.least is None else own.least
        most = np.inf if own.most is None else own.most
        low[i], high[i] = max(value - SHARE * size, least), min(value + SHARE * size, most)
    return low, high


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
    subject = find_subject(desk, circuit, words_of(result, "", 1))
    found = [find_varied(desk, circuit, [there], words_of(r, "", i)) for i, r in enumerate(rows, 2)]
    if subject is None or desk.errors:
        return []
    known = [figure for figure in found if figure is not None]
    slopes = sensitivities(answer, subject, known, number)
    return sorted(slopes, key=lambda one: -abs(one.share)) if not figures else slopes
