"""Values of variations: as written, and the same in whatever stretches they are made."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.basics.places import NOWHERE
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.ranges import Axis, read_axis
from circuitcheck.circuit.varied import Varied
from circuitcheck.components._parts import Parameter
from circuitcheck.solver.plan import BESIDE, GRID, LATIN, RANDOM, Plan, are_neighbours

SET = Varied("R1", Parameter("set", "pressure", "bar", "setting"), figure=True, ordered=False)
LOAD = Varied("C1", Parameter("load", "force", "kN", "load"), figure=False, ordered=True)
WARM = Varied("oil", Parameter("temperature", "temperature", "degC", ""), False, False)
RATIO = Varied("CB1", Parameter("pilot", "ratio", "", "pilot ratio"), True, False)


def read(varied: Varied, text: str) -> np.ndarray:
    desk = Desk({}, set())
    axis = read_axis(desk, varied, text, NOWHERE)
    assert axis is not None, desk.findings
    return axis.at(np.arange(axis.count))


@pytest.mark.parametrize(
    ("varied", "text", "values"),
    [
        (SET, "50 to 300 bar, 3 points", [50e5, 175e5, 300e5]),
        (SET, "300 to 50 bar, 3 points", [300e5, 175e5, 50e5]),
        (SET, "5 MPa to 300 bar, 2 points", [50e5, 300e5]),
        (SET, "50 to 80 bar in steps of 10 bar", [50e5, 60e5, 70e5, 80e5]),
        (SET, "80 to 55 bar in steps of 10 bar", [80e5, 70e5, 60e5]),
        (SET, "0.1 to 0.3 bar in steps of 0.1 bar", [0.1e5, 0.2e5, 0.3e5]),
        (SET, "50, 80, 120 bar", [50e5, 80e5, 120e5]),
        (SET, "1e2 bar", [100e5]),
        (LOAD, "-20 to 20 kN, 2 points", [-20e3, 20e3]),
        (WARM, "40 to 60 degC in steps of 10 K", [40, 50, 60]),
        (WARM, "50, 68 degF", [10, 20]),
        (RATIO, "3:1, 4:1", [3, 4]),
    ],
)
def test_values_are_read_as_written(varied: Varied, text: str, values: list[float]) -> None:
    assert read(varied, text) == pytest.approx(values, rel=1e-12)


axes = st.lists(
    st.one_of(
        st.builds(Axis, st.floats(-5, 5), st.floats(6, 9), st.integers(1, 7)),
        st.lists(st.floats(-5, 5), min_size=1, max_size=7).map(lambda x: Axis.of(np.array(x))),
    ),
    min_size=2,
    max_size=2,
)


@given(
    axes,
    st.sampled_from([BESIDE, GRID, RANDOM, LATIN]),
    st.lists(st.integers(0, 60), max_size=4),
)
def test_stretches_give_what_the_whole_gives(two: list[Axis], form: str, cuts: list[int]) -> None:
    counts = [axis.count for axis in two]
    count = {GRID: counts[0] * counts[1], RANDOM: 60, LATIN: 60, BESIDE: min(counts)}[form]
    plan = Plan(((SET, two[0]), (LOAD, two[1])), form, count, seed=4)
    edges = sorted({0, count, *(cut for cut in cuts if cut < count)})
    whole = plan.values(0, count)
    pieces = [plan.values(a, b) for a, b in pairwise(edges)]
    for varied, axis in plan.axes:
        row = whole[varied.key]
        assert len(row) == count
        assert np.array_equal(row, np.concatenate([piece[varied.key] for piece in pieces]))
        assert axis.low <= row.min()
        assert row.max() <= axis.high
    if form == GRID:
        pairs = set(zip(whole[SET.key].tolist(), whole[LOAD.key].tolist(), strict=True))
        distinct = [len(set(axis.at(np.arange(axis.count)).tolist())) for axis in two]
        assert len(pairs) == distinct[0] * distinct[1]


def test_neighbours_are_told_from_draws() -> None:
    line, draws = np.linspace(0, 1, 100), np.random.default_rng(1).uniform(size=100)
    assert are_neighbours({("a", "b"): line})
    assert are_neighbours({("a", "b"): line, ("c", "d"): np.zeros(100)})
    assert are_neighbours({("a", "b"): np.tile(line, 5), ("c", "d"): np.repeat(line[:5], 100)})
    assert not are_neighbours({("a", "b"): line, ("c", "d"): draws})
