"""One pattern serves all answers of a shape; what is ill-posed is looked for anew where that may
have changed."""

from __future__ import annotations

import numpy as np

from circuitcheck.pipeline import parse
from circuitcheck.solver.answer import Answer, answer
from circuitcheck.solver.equations import Equations
from circuitcheck.solver.ill_posed import NO_WAY
from circuitcheck.solver.system import Case, Changes, build
from tests.press_text import PRESS, TWO_PUMPS
from tests.solver.test_what_cannot_be_said import DEAD

DEAD_END = DEAD.format(more=", volumetric 92 %")


def case(text: str, changes: Changes | None = None) -> Case:
    circuit = parse(text).circuit
    return Case(circuit, circuit.steps, changes or {})


def solved(text: str, changes: Changes | None = None, before: Answer | None = None) -> Answer:
    return answer(case(text, changes), before)


def test_other_figures_take_over_the_pattern() -> None:
    before, changes = solved(PRESS), {("R1", "set"): 150e5}
    near, cold = solved(PRESS, changes, before), solved(PRESS, changes)
    assert near.equations.pattern is before.equations.pattern
    assert near.equations.alike(before.equations)
    assert near.found.solved.all()
    np.testing.assert_allclose(near.whole, cold.whole, rtol=1e-6, atol=1.0)


def test_another_circuit_has_a_pattern_of_its_own() -> None:
    before = Equations(build(case(PRESS)))
    assert Equations(build(case(TWO_PUMPS)), before).pattern is not before.pattern


def test_what_a_figure_of_nothing_makes_ill_posed_is_found() -> None:
    """A pump without slip has no way for its oil, one with slip has."""
    before = solved(DEAD_END)
    assert not before.contradictions
    after = solved(DEAD_END, {("P1", "volumetric"): 1.0}, before)
    assert not after.equations.alike(before.equations)
    assert [one.slug for one in after.contradictions] == [NO_WAY]
    assert solved(DEAD_END, {}, after).contradictions == []
