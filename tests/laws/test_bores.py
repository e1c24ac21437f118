"""Holes and short tubes against the formulas that they are made of."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.laws.bores import Hole, Tube, developing, loss
from circuitcheck.laws.smoothing import EXACT, Array

MU, RHO = 32e-6 * 870.0, 870.0


def passed(dp: float, d: float, length: float, nu: float = 32e-6) -> float:
    """Flow of a tube [m3/s]."""
    x = np.array([[[dp]], [[0.0]]])
    c = {"d": d, "length": length, "rho": RHO, "nu": nu}
    value, _ = Tube().evaluate(x, {k: np.array([[v]]) for k, v in c.items()}, EXACT)
    return float(value[0, 0, 0])


@pytest.mark.parametrize("dp", [1e2, 1e4, 1e6])
def test_a_long_capillary_is_hagen_poiseuille_with_an_entry(dp: float) -> None:
    """dp = 128 mu L q/(pi d^4) + 2.28 rho/2 (q/A)^2, solved as a quadratic."""
    d, length = 0.5e-3, 0.2
    r1 = 128 * MU * length / (np.pi * d**4)
    r2 = 2.28 * RHO / 2 / (np.pi / 4 * d * d) ** 2
    q = (-r1 + np.sqrt(r1 * r1 + 4 * r2 * dp)) / (2 * r2)
    assert passed(dp, d, length) == pytest.approx(q, rel=1e-9)
    assert passed(-dp, d, length) == pytest.approx(-q, rel=1e-9)


@settings(max_examples=100, deadline=None)
@given(u=st.floats(60.0, 1e4), slim=st.floats(1.0, 20.0))
def test_a_short_tube_has_the_coefficient_of_developing_flow(u: float, slim: float) -> None:
    """C = [1.5 + 13.74 root(L/(d Re))]^-1/2 for Re d/L > 50: Rabie, pages 50 and 51."""
    d, nu = 1e-3, 32e-6
    v = u * slim * nu / d
    c = (1.5 + 13.74 / np.sqrt(u)) ** -0.5
    dp = RHO / 2 * (v / c) ** 2
    assert passed(dp, d, slim * d) == pytest.approx(v * np.pi / 4 * d * d, rel=1e-9)


def test_the_branches_are_two_percent_apart_where_they_meet() -> None:
    """0.539 and 0.530 at Re d/L = 50, and the blend lies between them."""
    slow, fast = (2.28 + 64 / 50) ** -0.5, (1.5 + 13.74 / 50**0.5) ** -0.5
    assert (slow, fast) == (pytest.approx(0.530, abs=5e-4), pytest.approx(0.539, abs=5e-4))
    value, _ = loss(np.array([50.0]))
    assert slow < (value[0] / 2500.0) ** -0.5 < fast


@settings(max_examples=200, deadline=None)
@given(exponent=st.floats(-8.0, 12.0))
def test_developing_flow_is_found_exactly_and_grows_with_the_drop(exponent: float) -> None:
    target: Array = np.array([10.0**exponent, 10.0**exponent * 1.001])
    u, slope = developing(target)
    assert loss(u)[0] == pytest.approx(target, rel=1e-12)
    assert u[1] > u[0]
    assert np.all(slope > 0.0)


def test_a_hole_is_straight_below_its_start_and_a_root_above() -> None:
    k, start = 1e-7, 1e4
    x = np.array([[[1.0, 1e7]], [[0.0, 0.0]]])
    c = {"k": np.array([[k]]), "start": np.array([[start]])}
    value, _ = Hole().evaluate(x, c, EXACT)
    assert value[0, 0, 0] == pytest.approx(k / start**0.5, rel=1e-6)
    assert value[0, 0, 1] == pytest.approx(k * 1e7**0.5, rel=1e-6)
