"""Sweeps: curves through solved neighbours, sorts of variants, second calls of a project."""

from __future__ import annotations

import numpy as np
import pytest

from circuitcheck.pipeline import CircuitError, parse
from circuitcheck.solver.between import POINTS, between, laid
from circuitcheck.solver.structure import sorts
from circuitcheck.solver.sweeping import NEAR
from tests.press_text import CYLINDER_STAND

ONE_STEP = CYLINDER_STAND[: CYLINDER_STAND.index("  step back")]


def test_four_neighbours_give_a_cubic_and_nothing_is_taken_beyond_the_last() -> None:
    solved = np.array([0, 3, 5, 9, 14, 20])
    places = np.arange(25.0)
    x = np.stack([places**3 - 2.0 * places, 7.0 - places**2])
    new = np.array([1, 4, 7, 12, 19, 24])
    left = np.array([0, 1, 2, 3, 4, 5])
    known = np.ascontiguousarray(x[:, solved].T)
    found = laid(known, solved, left - 1, POINTS, np.clip(new, 0, 20))
    assert np.allclose(found[:, :-1], x[:, new[:-1]], rtol=1e-12)
    assert np.allclose(found[:, -1], x[:, 20], rtol=1e-12)


def test_a_corner_is_led_up_to_from_either_side_and_the_rest_from_a_curve() -> None:
    """Two steps of a cycle, the second with a corner at 13."""
    places = np.arange(21.0)
    bend = np.where(places < 13.0, 5.0 * places, 65.0 - 20.0 * (places - 13.0))
    x = np.concatenate([places**2 * 1e-3, bend])[None]
    solved = np.concatenate([np.arange(0, 21, 5), 21 + np.arange(0, 21, 5)])
    which = np.array([7, 21 + 12, 21 + 14])
    start, of = between(x, solved, which, 21)
    assert start[0, of == 7] == pytest.approx([0.049])
    for variant in which[1:]:
        assert (np.abs(start[0, of == variant] - x[0, variant]) < 1e-9).any()
        assert np.count_nonzero(of == variant) > 1


def test_variants_with_the_same_marks_are_one_sort() -> None:
    marks = np.array([[1, 1, 1, 1], [0, 1, 0, 1], [1, 0, 1, 1]], dtype=bool)
    first, back = sorts(marks)
    assert len(first) == 3
    assert back[0] == back[2] != back[1]
    assert np.array_equal(marks[:, first[back]], marks)
    first, back = sorts(np.ones((2, 5), dtype=bool))
    assert first.tolist() == [0]
    assert back.tolist() == [0] * 5


def test_a_sweep_gives_what_its_states_give_alone() -> None:
    """Across the corner where the relief opens, too."""
    loads = np.linspace(1e3, 60e3, 1001)
    project = parse(ONE_STEP)
    swept = project.vary({"C1 load": loads}, results=["C1 speed", "P1 P pressure"])
    assert swept.solved.all()
    from_cold = sum(method != NEAR for method in swept.method[0])
    assert from_cold <= 41, "only the first level, every 25th, may be solved from cold"
    some = np.arange(0, 1001, 77)
    alone = project.vary({"C1 load": loads[some]}, results=["P1 P pressure"], along=False)
    found, wanted = swept.si("P1 P pressure")[some], alone.si("P1 P pressure")
    assert np.allclose(found, wanted, rtol=0.0, atol=1.0)
    assert np.ptp(wanted) > 50e5


def test_a_second_call_gives_the_same_and_refuses_what_the_first_did_not_see() -> None:
    project = parse(ONE_STEP)
    values = {"R1 set": np.linspace(100e5, 200e5, 40)}
    one, two = (project.vary(values, results=["C1 speed"]).si("C1 speed") for _ in range(2))
    assert np.array_equal(one, two)
    with pytest.raises(CircuitError):
        project.vary({"C1 rod": np.linspace(30e-3, 90e-3, 40)})  # a rod thicker than the bore
