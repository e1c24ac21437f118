"""Many variations solved together are those solved one by one."""

from __future__ import annotations

import numpy as np
import pytest

from circuitcheck.pipeline import parse
from circuitcheck.solver import newton as newton_module
from circuitcheck.solver.answer import answer
from circuitcheck.solver.roads import find
from circuitcheck.solver.system import Case

TEXT = """circuit "stand"
oil ISO VG 46, at 45 degC
parts
  T1 tank
  E1 electric motor, 7.5 kW, 1450 rpm
  P1 pump, fixed, 16 cc/rev, driven by E1, volumetric 92 %, mechanical 90 %
  R1 relief, set 160 bar, 60 L/min
  CV1 check, cracking 0.5 bar, 60 L/min at 3 bar
  V1 valve 4/3, closed centre, solenoids a and b, spring centred, 40 L/min at 5 bar
  CB1 counterbalance, set 150 bar, pilot 3:1, 40 L/min at 8 bar
  C1 cylinder, bore 63 mm, rod 36 mm, stroke 500 mm
lines
  from T1 to P1 S
  from P1 P to CV1 in
  from P1 P to R1 P
  from R1 T to T1
  from CV1 out to V1 P, hose 12.7 mm, 2 m
  from V1 A to CB1 V, hose 12.7 mm, 3 m
  from CB1 C to C1 cap
  from V1 B to C1 rod, hose 12.7 mm, 3 m
  pilot from C1 rod to CB1 X
  from V1 T to T1, hose 19 mm, 1 m
cycle
  step out, V1 at a, C1 load 20 kN
  step back, V1 at b, C1 load 5 kN
"""
COUNT = 300


def _case(steps: tuple[str, ...] = ("out", "back")) -> Case:
    circuit = parse(TEXT).circuit
    dice = np.random.default_rng(5)
    changes = {
        ("R1", "set"): dice.uniform(60e5, 300e5, COUNT),
        ("C1", "load"): dice.uniform(1e3, 60e3, COUNT),
        ("V1", "opening"): dice.uniform(0.1, 1.0, COUNT),
        ("oil", "temperature"): dice.uniform(5.0, 70.0, COUNT),
    }
    chosen = [step for step in circuit.steps if step.name in steps]
    return Case(circuit, chosen, changes, variations=COUNT)


def _one(case: Case, variation: int) -> np.ndarray:
    one = {k: np.asarray(v)[variation : variation + 1] for k, v in case.changes.items()}
    return answer(Case(case.circuit, case.steps, one)).whole


def test_each_variation_is_as_if_solved_alone() -> None:
    case = _case()
    found = answer(case)
    assert found.found.solved.all()
    whole = found.whole.reshape(len(found.system.unknowns), 2, COUNT)
    for variation in range(0, COUNT, 29):
        assert np.allclose(whole[..., variation], _one(case, variation), rtol=1e-7, atol=1e-3)


def test_few_places_serve_as_well_as_many(monkeypatch: pytest.MonkeyPatch) -> None:
    case = _case()
    at_once = answer(case)
    monkeypatch.setattr(newton_module, "places_for", lambda _: 40)
    refilled = find(at_once.equations)
    assert refilled.solved.all()
    assert np.allclose(refilled.x, at_once.found.x, rtol=1e-7, atol=1e-8)
    assert np.array_equal(refilled.iterations, at_once.found.iterations)


def test_a_sweep_gives_what_single_solves_give() -> None:
    circuit = parse(TEXT).circuit
    loads = np.linspace(0.0, 90e3, 2000)
    case = Case(circuit, circuit.steps[:1], {("C1", "load"): loads}, variations=len(loads))
    swept = answer(case, along=True)
    cold = answer(case)
    assert swept.found.solved.all()
    assert cold.found.solved.all()
    assert np.allclose(swept.whole, cold.whole, rtol=1e-6, atol=1e-2)
    assert swept.found.iterations.sum() < 0.3 * cold.found.iterations.sum()


def test_flows_balance_in_every_variation() -> None:
    found = answer(_case())
    free = ~found.equations.all_pinned
    pressures = np.array([u.kind == "pressure" for u in found.system.unknowns])
    open_ = np.abs(found.balance)[pressures] * free[pressures]
    assert open_.max() < 1e-6 * 1e-3 / 60.0
