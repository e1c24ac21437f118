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
    found, bent = along(y, line, loss, *curve(line, loss, wall))
    usual = searched < 1e9
    assert np.allclose(found[usual], searched[usual], rtol=1e-10, atol=0.0)
    assert np.allclose(bent[usual], slope[usual], rtol=1e-7, atol=0.0)


def test_lines_of_two_kinds_keep_apart() -> None:
    line, loss, wall = (
        np.array(v)[:, None] for v in ([100.0, 3.0, 100.0], [0.0, 9.0, 0.0], [0.0] * 3)
    )
    y = np.broadcast_to(np.geomspace(1e3, 1e12, 50), (3, 50))
    searched, _ = reynolds(y, *(np.broadcast_to(v, y.shape) for v in (line, loss, wall)))
    found, _ = along(y, line, loss, *curve(line, loss, wall))
    assert np.allclose(found, searched, rtol=1e-10, atol=0.0)
    assert np.array_equal(found[0], found[2])


def test_beyond_the_last_point_the_curve_goes_on_straight() -> None:
    line, loss, wall = (np.array([[v]]) for v in (10.0, 2.0, 1e-3))
    y = np.exp(np.linspace(43.0, 60.0, 200))[None]
    found, _ = along(y, line, loss, *curve(line, loss, wall))
    steps = np.diff(np.log(found[0, found[0] > 1e9]))
    assert np.allclose(steps, steps[0], rtol=1e-6)
