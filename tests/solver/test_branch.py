"""The road along a branch of points: round turns, through corners, to the point of other roads."""

from __future__ import annotations

import zlib

import numpy as np
import pytest

from circuitcheck.laws.smoothing import EXACT
from circuitcheck.pipeline import parse
from circuitcheck.solver import roads
from circuitcheck.solver.branch import COARSE, FINE, let_go
from circuitcheck.solver.equations import Equations
from circuitcheck.solver.newton import newton
from circuitcheck.solver.system import Case, build
from tests.press_text import PRESS
from tests.properties.design import CONTROLS, Dice, design
from tests.properties.settings import Lots, settings
from tests.properties.writing import text_of

HARD = "1-31"
"""A load-sensing circuit with counterbalances and pilot checks, of which direct Newton and rounded
corners leave most states unsolved."""


@pytest.mark.parametrize("near", [COARSE, FINE])
@pytest.mark.parametrize("sparse", [False, True])
def test_it_comes_to_the_point_of_the_other_roads(near: float, sparse: bool) -> None:
    circuit = parse(PRESS).circuit
    equations = Equations(build(Case(circuit, circuit.steps)))
    equations.sparse = sparse
    first = roads.find(equations)
    every = np.arange(equations.variants)
    way = let_go(equations, equations.start(), every, near)
    assert way.arrived.all()
    assert way.x == pytest.approx(first.x, abs=0.1)  # near it, before Newton
    last = newton(equations, way.x, EXACT, every)
    assert last.solved.all()
    assert last.x == pytest.approx(first.x, abs=1e-6)


def test_it_arrives_where_others_do_not() -> None:
    whole = design(Dice(HARD), CONTROLS, most=6, steps=1)
    circuit = parse(text_of(whole)).circuit
    changes = settings(whole, circuit, Lots(zlib.crc32(HARD.encode()), 24))
    equations = Equations(build(Case(circuit, circuit.steps, changes, variations=24)))
    cold, every = equations.start(), np.arange(equations.variants)
    before = roads.Solved.none(cold, equations.variants)
    for name, smoothings in roads.ROADS[:2]:
        left = every[~before.solved]
        roads._along(equations, cold, left, smoothings, name, before)
    left = every[~before.solved]
    assert len(left) > 5
    for near, most in ((COARSE, 0.4), (FINE, 0.1)):
        way = let_go(equations, cold[:, left], left, near)
        last = newton(equations, way.x, EXACT, left)
        assert np.mean(~last.solved) < most
        assert (last.solved | ~way.arrived).mean() > 0.95
