"""The curve of a line gives what the search in each line gives."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.laws.pipe_curve import along, curve
from circuitcheck.laws.pipe_friction import reynolds

FIGURES = ([100.0, 3.0, 100.0], [0.0, 9.0, 0.0], [0.0, 0.0, 0.0])
DROPS = np.exp(np.linspace(-20.0, 43.0, 4001))


@settings(max_examples=25, deadline=None)
@given(st.floats(0.5, 5e4), st.floats(0.0, 200.0), st.floats(0.0, 0.05))
def test_curve_and_search_agree(length: float, minor: float, rough: float) -> None:
    line, loss, wall = (np.array([[v]]) for v in (length, minor, rough))
    y = DROPS[None]
    searched, slope = reynolds(y, *(np.broadcast_to(v, y.shape) for v in (line, loss, wall)))
    found, bent = along(y, *curve(line, loss, wall))
    usual = (searched < 1e8) & (y < 2.0**60)
    assert np.allclose(found[usual], searched[usual], rtol=1e-10, atol=0.0)
    assert np.allclose(bent[usual], slope[usual], rtol=1e-7, atol=0.0)


def test_lines_of_two_kinds_keep_apart() -> None:
    line, loss, wall = (
        np.array(v)[:, None] for v in ([100.0, 3.0, 100.0], [0.0, 9.0, 0.0], [0.0] * 3)
    )
    y = np.broadcast_to(np.geomspace(1e3, 1e12, 50), (3, 50))
    searched, _ = reynolds(y, *(np.broadcast_to(v, y.shape) for v in (line, loss, wall)))
    found, _ = along(y, *curve(line, loss, wall))
    assert np.allclose(found, searched, rtol=1e-10, atol=0.0)
    assert np.array_equal(found[0], found[2])


def test_beyond_the_last_point_the_curve_goes_on_straight() -> None:
    line, loss, wall = (np.array([[v]]) for v in (10.0, 2.0, 1e-3))
    y = np.linspace(0.5, 8.0, 31)[None] * 2.0**60
    found, slope = along(y, *curve(line, loss, wall))
    beyond = y[0] >= 2.0**60
    assert np.allclose(slope[0, beyond], slope[0, -1], rtol=1e-9, atol=0.0)
    rises = np.diff(found[0]) / np.diff(y[0])
    assert np.allclose(rises[beyond[:-1]], slope[0, -1], rtol=1e-9, atol=0.0)


def test_nothing_flows_without_a_drop_and_little_with_a_small_one() -> None:
    line, loss, wall = (np.array([[v]]) for v in (100.0, 1.0, 0.0))
    found, slope = along(np.array([[0.0, 1e-12, 1e-3]]), *curve(line, loss, wall))
    assert np.allclose(found, [[0.0, 1e-12 / 6400.0, 1e-3 / 6400.0]], rtol=1e-3, atol=1e-19)
    assert np.allclose(slope, 1.0 / 6400.0, rtol=1e-6)
