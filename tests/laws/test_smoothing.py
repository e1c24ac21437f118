"""Rounded corners inside the corner, and their tails: closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.laws.passages import LAMINAR_START
from circuitcheck.laws.smoothing import Smoothing, least, pos, ramp, sign, size
from tests.laws.element import BAR, values

WIDTHS = st.floats(0.01, 0.3)


def parabola(z: float, e: float) -> float:
    """max(z, 0), between -e and e the parabola that meets both branches: (z + e)^2/(4 e)."""
    return max(z, 0.0) if abs(z) >= e else (z + e) ** 2 / (4.0 * e)


def hyperbola(z: float, e: float) -> float:
    """Half of z + root(z^2 + e^2)."""
    return 0.5 * (z + float(np.hypot(z, e)))


@pytest.mark.parametrize("tails", [False, True])
@given(z=st.floats(-3, 3), e=WIDTHS)
def test_all_corners_are_made_of_one(tails: bool, z: float, e: float) -> None:
    s, corner = Smoothing(e, tails=tails), hyperbola if tails else parabola
    at = np.array([z])

    def one(v: float) -> float:
        return corner(v, e)

    expected = {
        pos: one(z),
        ramp: one(z) - one(z - 1),
        sign: z + one(-1 - z) - one(z - 1),
        size: one(z) + one(-z),
    }
    for function, value in expected.items():
        assert function(at, s)[0][0] == pytest.approx(value, abs=1e-12), function.__name__
    assert least(at, np.array([0.4]), s)[0][0] == pytest.approx(z - one(z - 0.4), abs=1e-12)


@given(z=st.floats(-2, 2), e=WIDTHS)
def test_slopes_of_compact_corners(z: float, e: float) -> None:
    """The slope of a corner goes from 0 to 1 in a straight line."""
    s, at = Smoothing(e), np.array([z])

    def rise(v: float) -> float:
        return float(np.clip((v + e) / (2.0 * e), 0.0, 1.0))

    assert pos(at, s)[1][0] == pytest.approx(rise(z), abs=1e-9)
    assert ramp(at, s)[1][0] == pytest.approx(rise(z) - rise(z - 1), abs=1e-9)
    assert sign(at, s)[1][0] == pytest.approx(1 - rise(-1 - z) - rise(z - 1), abs=1e-9)
    assert size(at, s)[1][0] == pytest.approx(rise(z) - rise(-z), abs=1e-9)
    _, to_a, to_b = least(at, np.array([0.4]), s)
    assert (to_a[0], to_b[0]) == pytest.approx((1 - rise(z - 0.4), rise(z - 0.4)), abs=1e-9)


def test_small_figures_keep_all_their_digits() -> None:
    assert sign(np.array([1e-18, -1e-18]), Smoothing())[0].tolist() == [1e-18, -1e-18]


WIDE = Smoothing(widen=8.0, creep=5.0)


def test_a_wide_road_has_wide_laminar_starts() -> None:
    """Far under the start the root is straight: k dp/root(start)."""
    dp = 1.0
    start = LAMINAR_START * 8.0
    k = 1e6
    assert values("orifice", [dp, 0], WIDE, k=k)[0] == pytest.approx(k * dp / start**0.5)
    assert values("hole", [dp, 0], WIDE, k=k, start=1e4)[0] == pytest.approx(k * dp / 8e4**0.5)
    valve = {"k": k, "offset": 1e9, "band": BAR}
    assert values("modulated", [dp, 0, 0, 0, 0], WIDE, **valve)[0] == pytest.approx(
        k * dp**2 / start**1.5
    )


def test_a_wide_road_has_wide_bands_and_leaky_seats() -> None:
    flow, opening = values(
        "modulated", [4 * BAR, 0, 0, 0, 0], WIDE, k=0.0, leak=1e-13, c0=1.0, band=BAR
    )
    assert (flow, opening) == pytest.approx((4 * BAR * 5e-13, 0.5))


@pytest.mark.parametrize("number", range(5))
def test_every_pressure_opens_by_its_own_weight(number: int) -> None:
    x = [11 * BAR, 3 * BAR, 5 * BAR, 7 * BAR, 9 * BAR]
    wanted = 0.3
    figures = {f"c{number}": wanted * 10 * BAR / x[number] * 2, "offset": -0.3 * 10 * BAR}
    flow, opening = values("modulated", x, k=1e-7, band=10 * BAR, **figures)
    assert opening == pytest.approx(0.3)
    assert flow == pytest.approx(0.3 * 1e-7 * np.sqrt(8 * BAR), rel=1e-3)


def test_an_orifice_leaks_beside_its_root() -> None:
    both = values("orifice", [50 * BAR, 10 * BAR], k=1e-7, leak=1e-12)[0]
    assert both - values("orifice", [50 * BAR, 10 * BAR], k=1e-7)[0] == pytest.approx(4e6 * 1e-12)


@pytest.mark.parametrize("dp", [1e4, 1e6])
def test_a_tube_tells_how_far_its_flow_is_developed(dp: float) -> None:
    """u = Re d/L, with Re = 4 q/(pi d nu)."""
    d, length, nu = 1e-3, 5e-3, 30e-6
    flow, u = values("tube", [dp, 0], d=d, length=length, nu=nu)
    assert u == pytest.approx(4 * flow / (np.pi * d * nu) * d / length)


def test_a_tube_shorter_than_its_bore_comes_to_its_answer_as_well() -> None:
    """Every pass of the search is needed at no drop that occurs; twice the drop, more flow."""
    flows = [values("tube", [dp, 0], d=2e-3, length=1e-3)[0] for dp in (1e-3, 2e-3, 1e7, 2e7)]
    assert flows[1] == pytest.approx(2 * flows[0], rel=1e-4)
    assert flows[3] == pytest.approx(2**0.5 * flows[2], rel=0.02)
