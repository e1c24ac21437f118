"""Circuits side by side over the same cycle: the same results of each, step by step."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.refusal import CircuitError
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.varied import words_of
from circuitcheck.solver.asked import Results, find_subject
from circuitcheck.solver.operating import OperatingPoint, Solution
from circuitcheck.studies.usual import usual_results

FILE = "result"
"""Name under which findings speak of results that a person names."""

CYCLE = "cycle"


@dataclass(frozen=True)
class Row:
    """One result in one step, of every circuit [SI]; NaN where a circuit has none.

    ``quantity`` names its unit. The rows of the whole cycle have the step "cycle".
    """

    name: str
    step: str
    quantity: str
    values: tuple[float, ...]


@dataclass(frozen=True)
class SideBySide:
    """Circuits by name, and their results; ``only_in``: steps that not all of them have."""

    names: tuple[str, ...]
    rows: tuple[Row, ...]
    only_in: dict[str, tuple[str, ...]]


def side_by_side(
    solutions: Sequence[Solution], names: Sequence[str], results: Sequence[str] = ()
) -> SideBySide:
    """Give the same results of several solved circuits; the usual ones where none are named.

    Raises `CircuitError` where a result is named that none of the circuits has.
    """
    wanted = list(results) or list(
        dict.fromkeys(name for s in solutions for name in usual_results(s.circuit))
    )
    steps = list(dict.fromkeys(point.step.name for s in solutions for point in s))
    rows = []
    for name in wanted:
        found = [_values(solution, name) for solution in solutions]
        if not any(found):
            _refuse(solutions[0], name)
        quantity = next(one[0] for one in found if one)
        by_step = [one[1] if one else {} for one in found]
        for step in steps:
            values = tuple(one.get(step, float("nan")) for one in by_step)
            if not np.isnan(values).all():
                rows.append(Row(name, step, quantity, values))
    has = {
        step: tuple(
            name
            for name, s in zip(names, solutions, strict=True)
            if step in {p.step.name for p in s}
        )
        for step in steps
    }
    only_in = {step: some for step, some in has.items() if len(some) < len(names)}
    return SideBySide(tuple(names), (*rows, *_whole(solutions)), only_in)


def _values(solution: Solution, name: str) -> tuple[str, dict[str, float]] | None:
    """Give the quantity of a result and its values by step; None if the circuit has none."""
    subject = find_subject(Desk({}, set()), solution.circuit, words_of(name, FILE, 1))
    answer = solution.answer
    if subject is None or answer is None:
        return None
    every = np.broadcast_to(Results(answer).of(subject), (answer.case.variants,))
    pairs = zip(solution, every.tolist(), strict=True)
    return subject.quantity, {p.step.name: v for p, v in pairs if p.success}


def _refuse(solution: Solution, name: str) -> None:
    findings: list[Finding] = []
    find_subject(Desk({}, set(), findings), solution.circuit, words_of(name, FILE, 1))
    raise CircuitError(tuple(findings), name)


def _whole(solutions: Sequence[Solution]) -> list[Row]:
    """Give what holds of the whole cycle, where all steps say how long they last."""
    rows = []
    if all(_lasts(solution) for solution in solutions):
        rows.append(_sum("time", "time", solutions, lambda _: 1.0))
        rows.append(_sum("energy in", "energy", solutions, lambda point: point.totals.input))
        rows.append(_sum("energy lost", "energy", solutions, lambda point: point.totals.loss))
    return rows


def _lasts(solution: Solution) -> bool:
    return all(point.success and point.duration is not None for point in solution)


def _sum(
    name: str, quantity: str, solutions: Sequence[Solution],
    rate: Callable[[OperatingPoint], float],
) -> Row:  # fmt: skip
    values = tuple(sum(rate(p) * (p.duration or 0.0) for p in solution) for solution in solutions)
    return Row(name, CYCLE, quantity, values)
