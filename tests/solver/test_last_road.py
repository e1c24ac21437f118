"""The last road of all: starts by lot, with wide bands that are narrowed in small steps."""

from __future__ import annotations

import numpy as np
import pytest

from circuitcheck.pipeline import parse
from circuitcheck.solver import roads
from circuitcheck.solver.equations import Equations
from circuitcheck.solver.newton import Outcome
from circuitcheck.solver.system import Case, build
from tests.press_text import PRESS


def test_it_comes_to_the_same_point_as_the_first(monkeypatch: pytest.MonkeyPatch) -> None:
    circuit = parse(PRESS).circuit
    equations = Equations(build(Case(circuit, circuit.steps)))
    first = roads.find(equations)
    assert first.solved.all()

    def nowhere(_: Equations, x: np.ndarray, which: np.ndarray) -> Outcome:
        none = np.zeros(len(which), dtype=bool)
        return Outcome(x, none, np.full(len(which), np.inf), np.zeros(len(which), dtype=np.int64))

    for name in ("ROADS", "LOTS", "LAST_LOTS"):
        monkeypatch.setattr(roads, name, ())
    monkeypatch.setattr(roads, "_run_from_rest", nowhere)
    monkeypatch.setattr(roads, "_along_branch", lambda *_: None)
    last = roads.find(equations)
    assert last.solved.all()
    assert set(last.method) == {"from a start by lot"}
    assert last.x == pytest.approx(first.x, abs=1e-6)


def test_where_others_lead_nowhere_the_circuit_runs_from_rest(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What it does not solve either is left at the start, without figures of its own."""
    circuit = parse(PRESS).circuit
    equations = Equations(build(Case(circuit, circuit.steps)))
    first, cold = roads.find(equations), equations.start()
    runs = roads._run_from_rest

    def half(equations: Equations, x: np.ndarray, which: np.ndarray) -> Outcome:
        found = runs(equations, x, which)
        found.solved[1], found.x[:, 1] = False, np.nan
        return found

    for name in ("ROADS", "LOTS", "LAST_LOTS", "WIDE_LOTS"):
        monkeypatch.setattr(roads, name, ())
    monkeypatch.setattr(roads, "_along_branch", lambda *_: None)
    last = roads.find(equations)
    assert last.solved.all()
    assert set(last.method) == {"run from rest"}
    assert last.x == pytest.approx(first.x, abs=1e-6)
    monkeypatch.setattr(roads, "_run_from_rest", half)
    last = roads.find(equations)
    assert last.solved.tolist() == [True, False]
    assert last.method.tolist() == ["run from rest", "not solved"]
    assert last.x[:, 0] == pytest.approx(first.x[:, 0], abs=1e-6)
    assert np.array_equal(last.x[:, 1], cold[:, 1])
