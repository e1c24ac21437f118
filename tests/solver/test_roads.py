"""Every road that arrives comes to the same point, as far as it is the only one."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from circuitcheck.laws.smoothing import EXACT
from circuitcheck.pipeline import parse
from circuitcheck.solver import roads
from circuitcheck.solver.equations import Equations
from circuitcheck.solver.march import march
from circuitcheck.solver.newton import Outcome, newton
from circuitcheck.solver.system import Case, build
from tests.press_text import PRESS


def _press() -> Equations:
    circuit = parse(PRESS).circuit
    return Equations(build(Case(circuit, circuit.steps)))


def test_a_circuit_that_runs_from_rest_comes_to_its_point() -> None:
    equations = _press()
    first = roads.find(equations)
    every = np.arange(equations.variants)
    last = roads._run_from_rest(equations, equations.start(), every)
    assert last.solved.all()
    assert last.x == pytest.approx(first.x, abs=1e-6)
    assert (last.iterations > 0).all()
    some = every[1:]
    alone = roads._run_from_rest(equations, equations.start()[:, some], some)
    assert alone.x == pytest.approx(first.x[:, some], abs=1e-6)


def test_what_newton_does_not_finish_runs_on(monkeypatch: pytest.MonkeyPatch) -> None:
    equations = _press()
    first, every = roads.find(equations), np.arange(equations.variants)
    calls: list[int] = []

    def half(*given: Any) -> Outcome:
        """Newton that every other time leaves the second variant where it is."""
        found = newton(*given)
        calls.append(len(given[3]))
        if len(calls) % 2:
            found.solved[1] = False
            found.x[:, 1] = given[1][:, 1]
        return found

    monkeypatch.setattr(roads, "newton", half)
    last = roads._run_from_rest(equations, equations.start(), every)
    assert calls == [2, 1] * 3
    assert last.solved.all()
    assert last.x == pytest.approx(first.x, abs=1e-6)


def test_what_runs_to_the_end_is_at_rest() -> None:
    """With exact laws from the start, where steps that are too long must be taken again."""
    equations, every = _press(), np.arange(2)
    start = equations.start()
    x, work = march(equations, start, EXACT, every)
    assert (work < 200).all()
    open_before, _ = equations.chosen(every).residual(start, EXACT)
    open_now, _ = equations.chosen(every).residual(x, EXACT)
    assert np.abs(open_before).max() > 1.0
    assert np.abs(open_now).max() < 1e-9


@pytest.mark.parametrize(("name", "smoothings"), roads.ROADS)
def test_each_road_alone_comes_to_the_same_point(
    name: str, smoothings: tuple[roads.Smoothing, ...]
) -> None:
    equations = _press()
    first = roads.find(equations)
    every = np.arange(equations.variants)
    result = roads.Solved.none(equations.start(), equations.variants)
    roads._along(equations, equations.start(), every, smoothings, name, result)
    assert result.solved.all()
    assert set(result.method) == {name}
    assert result.x == pytest.approx(first.x, abs=1e-6)


def test_a_road_from_a_point_that_is_near_says_so_and_counts_its_passes() -> None:
    equations = _press()
    first = roads.find(equations)
    again = roads.find_near(equations, first.x * (1.0 + 1e-6), np.array([1]))
    assert again.solved.tolist() == [False, True]
    assert again.method.tolist() == ["not solved", "from before"]
    assert again.iterations[0] == 0 < again.iterations[1] < 5
    assert again.x[:, 1] == pytest.approx(first.x[:, 1], abs=1e-6)
