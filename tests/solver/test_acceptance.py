"""A point is accepted when its step is small and every balance closes, but for rounding."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from circuitcheck.laws.smoothing import EXACT
from circuitcheck.pipeline import parse
from circuitcheck.solver import newton as road
from circuitcheck.solver.equations import Equations
from circuitcheck.solver.newton import Outcome, newton, rounding
from circuitcheck.solver.roads import find
from circuitcheck.solver.system import Case, build
from tests.press_text import PRESS

EPS = float(np.finfo(float).eps)

PATTERN = SimpleNamespace(columns=np.array([0, 1, 1]), row_starts=np.array([0, 2]))
TWO_BALANCES: Any = SimpleNamespace(pattern=PATTERN)
"""The first depends on both unknowns, the second on the second alone."""

WIDE, NARROW = 1e6, 1.0
ENTRIES = np.array([[WIDE], [-WIDE], [NARROW]]) * np.ones(4)
X = np.array([[300.0, -300.0, 300.0, 300.0], [100.0, 100.0, -100.0, 100.0]])


def test_rounding_is_a_few_times_that_of_the_terms_of_a_balance() -> None:
    """Eight spacings of 1e6 x 300 + 1e6 x 100, and of 1 x 100; the signs do not count."""
    found = rounding(TWO_BALANCES, X, ENTRIES)
    assert found == pytest.approx(8.0 * EPS * np.array([[4e8], [100.0]]) * np.ones(4), rel=1e-12)


R = np.array([[5e-8, -5e-7, 2e-6, 0.0], [-5e-8, 0.0, 0.0, 2e-7]])
"""Open [L/min]: little; what rounding leaves where lines are wide; more; little, but in a balance
that has no such rounding."""


@pytest.mark.parametrize("whole", [True, False])
@pytest.mark.parametrize("tried", [True, False])
def test_only_places_that_balance_are_kept(whole: bool, tried: bool) -> None:
    """Four variants in their places, or four of six in the places of others."""
    run = object.__new__(road._Run)
    run.balanced = road.RESIDUAL_TOLERANCE
    run.chosen = SimpleNamespace(equations=TWO_BALANCES)  # type: ignore[assignment]
    run.which = np.arange(4 if whole else 6)
    run.at = np.arange(4) if whole else np.array([5, 3, 0, 1])
    count = len(run.which)
    before = np.zeros(count, dtype=bool)
    before[2] = not whole  # in none of the places: found before
    run.outcome = Outcome(np.zeros((2, count)), before, np.zeros(count), np.zeros(count, np.int64))
    rest = np.full((2, 4), 0.25)
    done = np.array([True, tried, True, True])
    run._finish(X, R, ENTRIES, rest, done)
    assert done.tolist() == [True, tried, False, False]
    kept = [0, 1][: 1 + tried]
    solved = {int(run.at[k]) for k in kept} | ({2} if not whole else set())
    assert set(np.flatnonzero(run.outcome.solved).tolist()) == solved
    wanted = np.zeros((2, count))
    wanted[:, run.at[kept]] = X[:, kept] - 0.25
    assert np.array_equal(run.outcome.x, wanted)


def test_what_was_solved_before_stays_so() -> None:
    run = object.__new__(road._Run)
    run.balanced, run.which, run.at = 1e-7, np.arange(2), np.arange(2)
    run.outcome = Outcome(np.ones((2, 2)), np.array([True, False]), np.zeros(2), np.zeros(2, int))
    run._finish(X[:, :2], R[:, :2] * 0.0, ENTRIES, 0.0 * X[:, :2], np.array([False, True]))
    assert run.outcome.solved.tolist() == [True, True]
    assert run.outcome.x[:, 0].tolist() == [1.0, 1.0]


def test_a_circuit_that_does_not_balance_is_not_solved(monkeypatch: pytest.MonkeyPatch) -> None:
    """However small the steps: as if nothing but a balance to the last digit would do."""
    circuit = parse(PRESS).circuit
    equations = Equations(build(Case(circuit, circuit.steps)))
    start, every = find(equations).x, np.arange(2)
    assert newton(equations, start + 1e-3, EXACT, every).solved.all()
    monkeypatch.setattr(road, "RESIDUAL_TOLERANCE", 0.0)
    assert newton(equations, start + 1e-3, EXACT, every).solved.all(), "but for rounding"
    monkeypatch.setattr(road, "ROUNDING", 0.0)
    assert not newton(equations, start + 1e-3, EXACT, every).solved.any()


def test_a_point_that_balances_is_not_solved_while_steps_are_long(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """As if any imbalance would do: what is accepted still is the point, by its steps."""
    circuit = parse(PRESS).circuit
    equations = Equations(build(Case(circuit, circuit.steps)))
    first, every = find(equations).x, np.arange(2)
    monkeypatch.setattr(road, "RESIDUAL_TOLERANCE", 1e12)
    for far in (equations.start(), first + 1.0, first + 1e-3, first):
        found = newton(equations, far, EXACT, every)
        assert found.solved.all()
        assert found.x == pytest.approx(first, abs=1e-6)
        assert (found.step < road.STEP_TOLERANCE * np.sqrt(equations.n)).all()
