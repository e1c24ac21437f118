"""Stores: gas laws in closed form, springs, and warm gas against its differential equation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from circuitcheck.laws.library import LAWS
from circuitcheck.laws.smoothing import EXACT
from tests.laws.element import BAR, values

AIR = 1.01325 * BAR
CHARGE = 50 * BAR
VOLUME = 10e-3


def held(p: float, **figures: float) -> float:
    found = values("store", [p], **{"volume": VOLUME, "charge": CHARGE, "exponent": 1.0} | figures)
    return float(found[1])


@given(st.floats(60, 300), st.floats(1.0, 1.6))
def test_gas_follows_its_polytrope(bar: float, exponent: float) -> None:
    """p V^n = charge volume^n, absolute pressures."""
    gas = VOLUME * (CHARGE / (bar * BAR + AIR)) ** (1.0 / exponent)
    assert held(bar * BAR, exponent=exponent) == pytest.approx(VOLUME - gas, rel=1e-12)


def test_nothing_is_held_under_the_charge() -> None:
    assert held(30 * BAR) == 0.0


@pytest.mark.parametrize(("term", "reach"), [("real1", 100), ("real2", 300), ("real3", 900)])
def test_terms_of_a_real_gas(term: str, reach: float) -> None:
    """volume of the gas times exp(real (1 - exp(-(p - charge)/reach)))."""
    p, real = 200 * BAR, 0.1
    over = p + AIR - CHARGE
    gas = VOLUME * CHARGE / (p + AIR) * np.exp(real * (1.0 - np.exp(-over / (reach * BAR))))
    assert held(p, **{term: real}) == pytest.approx(VOLUME - gas, rel=1e-12)


@pytest.mark.parametrize(("bar", "share"), [(5, 0.0), (12.5, 0.25), (17, 0.7), (25, 1.0)])
def test_a_spring_takes_oil_in_proportion(bar: float, share: float) -> None:
    spring = {"volume": 0.0, "swept": 2e-3, "low": 10 * BAR, "high": 20 * BAR}
    assert held(bar * BAR, **spring) == pytest.approx(2e-3 * share, rel=1e-12)


def test_gas_and_spring_add_up() -> None:
    spring = {"swept": 2e-3, "low": 10 * BAR, "high": 20 * BAR}
    both = held(100 * BAR, **spring)
    assert both == pytest.approx(held(100 * BAR) + 2e-3, rel=1e-12)


def test_flow_in_is_what_is_held_more_over_the_duration() -> None:
    figures = {"volume": VOLUME, "charge": CHARGE, "exponent": 1.0}
    flow, now = values("store", [200 * BAR], start=3e-3, rate=0.25, **figures)
    assert flow == pytest.approx((now - 3e-3) / 4.0, rel=1e-12)


WARM = {"kappa": 0.4, "bend": 0.05, "real1": 0.02}


def squeezed(cool: float) -> float:
    """Logarithm of gas volume charged over gas volume, at the pressure it would have cool."""
    over = cool - CHARGE
    return float(np.log(cool / CHARGE) - 0.02 * (1.0 - np.exp(-over / (100 * BAR))))


def warmed(k0: float, k1: float, theta0: float, relax: float) -> float:
    """Integrate d theta/ds = relax (1 - theta) + theta (k1 - k0) over s from 0 to 1."""
    found = solve_ivp(
        lambda _, theta: relax * (1.0 - theta) + theta * (k1 - k0),
        (0.0, 1.0), [theta0], rtol=1e-11, atol=1e-13,
    )  # fmt: skip
    return float(found.y[0, -1])


@settings(max_examples=40)
@given(
    bar=st.floats(60, 300), start=st.floats(0.0, 0.7), excess=st.floats(-0.2, 0.4),
    relax=st.sampled_from([0.0, 1e-5, 0.3, 1.0, 8.0]),
)  # fmt: skip
def test_warm_gas_solves_its_differential_equation(
    bar: float, start: float, excess: float, relax: float
) -> None:
    """The excess at the end is that of the equation, and the gas stands at its pressure."""
    p = bar * BAR
    figures = {"volume": VOLUME, "charge": CHARGE, "exponent": 1.0} | WARM
    flow, now, end = values(
        "warm_store", [p], start=start * VOLUME, rate=0.5, excess=excess, relax=relax, **figures
    )
    y0, y = -np.log1p(-start), -np.log1p(-now / VOLUME)
    k0, k1 = (0.4 * v + 0.05 * v * v for v in (y0, y))
    assert 1.0 + end == pytest.approx(warmed(k0, k1, 1.0 + excess, relax), rel=1e-8)
    cool = (p + AIR) / (1.0 + end)
    assert y == pytest.approx(squeezed(cool) if cool > 1.03 * CHARGE else y, rel=1e-8)
    assert flow == pytest.approx(0.5 * (now - start * VOLUME), rel=1e-12, abs=1e-18)


def test_a_step_without_duration_leaves_the_gas_as_it_is() -> None:
    figures = {"volume": VOLUME, "charge": CHARGE, "excess": 0.2, "start": 1e-3}
    flow, _, end = values("warm_store", [150 * BAR], rate=0.0, **figures)
    assert (flow, end) == (0.0, 0.2)


def test_oil_that_fills_the_vessel_does_not_stop_the_reckoning() -> None:
    """A start at, or rounded over, the whole volume counts as all but full."""
    figures = {"volume": VOLUME, "charge": CHARGE, "exponent": 1.0}
    full = values("warm_store", [150 * BAR], start=1.5 * VOLUME, rate=1.0, relax=50.0, **figures)
    assert np.all(np.isfinite(full))
    assert full[1] == pytest.approx(held(150 * BAR), rel=0.05)


@pytest.mark.parametrize("fade", [9e-5, -9e-5, 1.1e-4, 0.0])
def test_gas_that_warms_as_fast_as_it_cools(fade: float) -> None:
    """Where l is all but zero: theta = theta0 exp(-l) + a (1 - exp(-l))/l, and its slope."""
    a, theta0 = 0.5, 1.1
    y = (a - fade) / 0.4
    share = -np.expm1(-fade) / fade if fade else 1.0
    theta = theta0 * np.exp(-fade) + a * share
    p = CHARGE * np.exp(y) * theta - AIR
    figures = {"volume": VOLUME, "charge": CHARGE, "exponent": 1.0, "kappa": 0.4}
    figures |= {"excess": theta0 - 1.0, "relax": a, "rate": 1.0}
    _, now, end = values("warm_store", [p], **figures)
    assert end == pytest.approx(theta - 1.0, rel=1e-10)
    assert now == pytest.approx(VOLUME * -np.expm1(-y), rel=1e-10)
    law = LAWS["warm_store"]
    c = {name: np.asarray(value) for name, value in law.coefficients.items()} | figures
    _, slope = law.evaluate(np.full((1, 1, 1), p), c, EXACT)
    h = 1e-4 * p
    high, low = (values("warm_store", [p + way * h], **figures)[1] for way in (1.0, -1.0))
    assert slope[0, 0, 0, 0] == pytest.approx((high - low) / (2.0 * h), rel=2e-7, abs=0.0)
