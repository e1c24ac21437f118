"""Pipe friction against the open library ``fluids`` and closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from fluids.friction import Churchill_1977, Colebrook
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.laws.library import LAWS
from circuitcheck.laws.pipe_friction import friction_number
from circuitcheck.laws.smoothing import EXACT

LOG_RE = st.floats(0, 7)
ROUGH = st.sampled_from([0.0, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 0.05])


def factor(re: float, rough: float) -> float:
    number, _ = friction_number(np.array(re), np.array(rough))
    return float(number) / re**2


def flow(dp: float, **given_: float) -> tuple[float, float]:
    """Flow [m3/s] and Reynolds number of a pipe with near end at ``dp``."""
    law = LAWS["pipe"]
    c = {name: np.asarray(value) for name, value in law.coefficients.items()}
    c |= {name: np.asarray(value) for name, value in given_.items()}
    value, _ = law.evaluate(np.array([dp, 0.0]).reshape(2, 1, 1), c, EXACT)
    return float(value[0, 0, 0]), float(value[1, 0, 0])


@given(LOG_RE, ROUGH)
def test_factor_is_churchills(log_re: float, rough: float) -> None:
    re = 10.0**log_re
    assert factor(re, rough) == pytest.approx(Churchill_1977(re, rough), rel=1e-9)


@given(st.floats(np.log10(4000), 7), st.sampled_from([1e-6, 1e-5, 1e-4, 1e-3, 1e-2]))
def test_factor_is_near_colebrooks_in_turbulent_flow(log_re: float, rough: float) -> None:
    """Within 3.5 % from Reynolds number 4000 up (own measurement: 3.3 % at worst)."""
    re = 10.0**log_re
    assert factor(re, rough) == pytest.approx(Colebrook(re, rough), rel=0.035)


@given(st.floats(-1, np.log10(1500)), ROUGH)
def test_laminar_factor_does_not_know_the_wall(log_re: float, rough: float) -> None:
    re = 10.0**log_re
    assert factor(re, rough) == pytest.approx(64.0 / re, rel=1e-6)


@given(st.floats(5e-3, 0.05), st.floats(0.1, 50), st.floats(20e-6, 500e-6), st.floats(0.1, 250))
def test_hagen_poiseuille(d: float, length: float, nu: float, re: float) -> None:
    """dp = 128 mu L Q/(pi d^4), exact below Reynolds number 300."""
    rho, q = 870.0, re * nu * np.pi * d / 4
    dp = 128 * rho * nu * length * q / (np.pi * d**4)
    found, number = flow(dp, d=d, length=length, nu=nu, rho=rho)
    assert found == pytest.approx(q, rel=1e-12)
    assert number == pytest.approx(re, rel=1e-12)


@given(
    st.floats(5e-3, 0.05), st.floats(0.1, 50), st.floats(0.7e-6, 200e-6), st.floats(0, 20),
    st.floats(0.01, 15), st.sampled_from([0.0, 1e-4, 1e-2]), st.sampled_from([-1.0, 1.0]),
)  # fmt: skip
def test_flow_is_the_inverse_of_darcy_weisbach(
    d: float, length: float, nu: float, minor: float, v: float, rough: float, way: float
) -> None:
    """Drop of the speed v by the library's friction factor gives v back, both ways."""
    rho, area = 850.0, np.pi / 4 * d * d
    f = Churchill_1977(v * d / nu, rough)
    dp = (f * length / d + minor) * 0.5 * rho * v * v
    found, _ = flow(way * dp, d=d, length=length, nu=nu, rho=rho, minor=minor, rough=rough)
    assert found == pytest.approx(way * v * area, rel=1e-8)


def test_height_alone_makes_flow_and_holds_it() -> None:
    head = 870 * 9.80665 * 2.0
    assert flow(head, head=head)[0] == 0.0
    assert flow(0.0, head=head)[0] == pytest.approx(-flow(head)[0])


@given(st.floats(0, 5e6), st.floats(0, 5e6))
def test_more_drop_more_flow(one: float, other: float) -> None:
    """At every Reynolds number, across the bridge from laminar to turbulent too."""
    low, high = sorted((one, other))
    assert flow(low, nu=5e-6)[0] <= flow(high, nu=5e-6)[0]
