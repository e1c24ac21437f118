"""Rotary units, pistons, loads: closed forms, energy, and the stroke that controls ask for."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.laws.library import LAWS
from circuitcheck.laws.machines import STILL_ROD
from circuitcheck.laws.smoothing import EXACT, Array, Smoothing, least, pos, ramp, sign, size

BAR = 1e5
FULL = 45e-6 / (2 * np.pi)


def evaluate(word: str, x: list[float], **given_: float) -> Array:
    law = LAWS[word]
    c = {name: np.asarray(value) for name, value in law.coefficients.items()}
    c |= {name: np.asarray(value, dtype=float) for name, value in given_.items()}
    value, _ = law.evaluate(np.array(x, dtype=float).reshape(law.terminals, 1, 1), c, EXACT)
    return value[:, 0, 0]


@given(st.floats(5, 400), st.floats(1, 300))
def test_ideal_pump(bar: float, w: float) -> None:
    flow, torque, stroke = evaluate("rotary", [bar * BAR, 0, 0, w, 0], full=FULL)
    assert stroke == pytest.approx(1.0, abs=1e-12)
    assert flow == pytest.approx(FULL * w, rel=1e-12)
    assert torque == pytest.approx(FULL * bar * BAR, rel=1e-12)


@given(st.floats(-300, 300), st.floats(-0.5, 400), st.floats(-0.5, 400))
def test_a_unit_loses_power_and_makes_none(w: float, out: float, inlet: float) -> None:
    losses = {"drag": 0.01, "rub": 0.05 * FULL, "stick": 1.0}
    flow, torque, _ = evaluate("rotary", [out * BAR, inlet * BAR, 0, w, 0], full=FULL, **losses)
    assert torque * w >= flow * (out - inlet) * BAR - 1e-9 * abs(torque * w) - 1e-12


@pytest.mark.parametrize(
    ("out", "sensed", "figures", "stroke"),
    [
        (246.5, 0, {"cutoff": 250 * BAR, "cutoff_band": 7 * BAR}, 0.5),
        (250, 0, {"cutoff": 250 * BAR, "cutoff_band": 7 * BAR}, 0.0),
        (200, 0, {"cutoff": 250 * BAR, "cutoff_band": 7 * BAR}, 1.0),
        (118.5, 100, {"margin": 20 * BAR, "margin_band": 3 * BAR}, 0.5),
        (120, 100, {"margin": 20 * BAR, "margin_band": 3 * BAR}, 0.0),
        (200, 0, {"torque": 0.5 * FULL * 200 * BAR}, 0.5),
        (200, 0, {"torque": 2.0 * FULL * 200 * BAR}, 1.0),
        (200, 0, {"command": 0.3}, 0.3),
        (200, 0, {"command": -0.3}, -0.3),
        (200, 0, {"command": 0.0}, 0.0),
    ],
)
def test_stroke_that_a_control_asks_for(
    out: float, sensed: float, figures: dict[str, float], stroke: float
) -> None:
    """Straight lines over the band; the corners are rounded by a two hundredth."""
    found = evaluate("rotary", [out * BAR, 0, sensed * BAR, 150, 0], full=FULL, **figures)[2]
    assert found == pytest.approx(stroke, abs=0.006)


@given(
    st.floats(-300, 300),
    st.floats(-200, 200),
    st.floats(-1, 1),
    st.floats(0.3, 1),
    st.floats(0.3, 1),
)
def test_constant_efficiencies_hold_everywhere(
    w: float, bar: float, command: float, volumetric: float, mechanical: float
) -> None:
    """Pump: q = ev x D w, M = x D dp/em; motor: q = x D w/ev, M = em x D dp."""
    if min(abs(w), abs(bar), abs(command)) < 2 * 0.02:
        return
    if abs(w) < 0.05 or abs(bar) < 1.1 or abs(command) > 0.97:
        return
    share = {"volumetric": volumetric, "mechanical": mechanical}
    x = [bar * BAR, 0, 0, w, 0]
    flow, torque, stroke = evaluate("rotary", x, full=FULL, command=command, **share)
    pumping = stroke * w * bar > 0.0
    moved, ideal = stroke * FULL * w, stroke * FULL * bar * BAR
    assert flow == pytest.approx(moved * (volumetric if pumping else 1 / volumetric))
    assert torque == pytest.approx(ideal / mechanical if pumping else ideal * mechanical)
    assert torque * w >= flow * bar * BAR - 1e-9


@pytest.mark.parametrize("way", [1, -1])
def test_cut_off_on_either_side_and_centring(way: int) -> None:
    high = {"cutoff": 250 * BAR, "cutoff_band": 10 * BAR, "either": 1.0, "command": 0.9 * way}
    x = [way * 245 * BAR, 0, 0, 150, 0] if way > 0 else [0, 245 * BAR, 0, 150, 0]
    assert evaluate("rotary", x, full=FULL, **high)[2] == pytest.approx(0.5 * way, abs=1e-9)
    charge = {"begin": 4 * BAR, "begin_band": 10 * BAR, "command": 0.9 * way}
    x = [100 * BAR, 0, 9 * BAR, 150, 0]
    assert evaluate("rotary", x, full=FULL, **charge)[2] == pytest.approx(0.5 * way, abs=1e-9)


@given(st.floats(0.8, 3.0), st.floats(0.01, 0.1))
def test_two_springs_stay_under_the_hyperbola_by_no_more_than_they_may(
    r: float, deviation: float
) -> None:
    """Between start and end of the two lines: limit >= torque >= (1 - deviation) limit."""
    k = np.sqrt(deviation)
    end = (1 + k) ** 2 / (1 - k) * (1 + k)
    torque = FULL * 200 * BAR / r
    x = [200 * BAR, 0, 0, 150, 0]
    found = evaluate("rotary", x, full=FULL, torque=torque, deviation=deviation)
    if r < 1 - deviation - 0.03:
        assert found[2] == pytest.approx(1.0, abs=1e-9)
    elif 1.03 < r < end:
        assert (1 - deviation) - 0.012 * r <= found[1] / torque <= 1 + 0.006 * r


@given(st.floats(20, 300), st.floats(20, 300))
def test_power_sum_shares_one_torque(p1: float, p2: float) -> None:
    """x1 = x2 = M/(D1 p1 + D2 p2): both pumps together take the torque, no more."""
    torque, other = 60.0, 0.6 * FULL
    one = evaluate("rotary", [p1 * BAR, 0, 0, 150, p2 * BAR], full=FULL, torque=torque, cross=other)
    two = evaluate("rotary", [p2 * BAR, 0, 0, 150, p1 * BAR], full=other, torque=torque, cross=FULL)
    asked = FULL * p1 * BAR + other * p2 * BAR
    assert one[2] == pytest.approx(two[2])
    assert one[1] + two[1] == pytest.approx(min(asked, torque), rel=0.006)


@given(st.floats(1, 300), st.floats(1, 300), st.floats(0.01, 1), st.floats(0, 0.2))
def test_piston_balance(cap: float, rod: float, v: float, share: float) -> None:
    """Force = A1 p1 - A2 p2 - share (A1 p1 + A2 p2) sign(v), moving out and in."""
    a1, a2 = 50e-4, 30e-4
    for way in (1.0, -1.0):
        q1, q2, force = evaluate(
            "piston", [cap * BAR, rod * BAR, way * v], cap_area=a1, rod_area=a2, share=share
        )
        assert q1 == pytest.approx(a1 * way * v)
        assert q2 == pytest.approx(a2 * way * v)
        push, pull = a1 * cap * BAR, a2 * rod * BAR
        assert force == pytest.approx(push - pull - way * share * (push + pull), rel=1e-9)


@given(st.floats(-1, 1))
def test_friction_never_exceeds_its_full_value_at_rest(z: float) -> None:
    force = evaluate("piston", [BAR * 100, 0, z * STILL_ROD], cap_area=1e-3, share=0.1)[2]
    assert 0.9 * 1e4 - 1e-6 <= force <= 1.1 * 1e4 + 1e-6


@given(st.floats(-2, 2), st.floats(0, 1e5), st.floats(-1e5, 1e5))
def test_load_resists_the_motion(v: float, resisting: float, steady: float) -> None:
    force = evaluate("load", [v], resisting=resisting, steady=steady)[0]
    if abs(v) > 2 * STILL_ROD:
        assert force == pytest.approx(resisting * np.sign(v) + steady, abs=1e-6)
    assert abs(force - steady) <= resisting + 1e-6


@given(st.floats(-5, 5), st.floats(-5, 5), st.floats(0.005, 0.3))
def test_rounded_corners_are_exact_outside(a: float, b: float, e: float) -> None:
    """Outside the corner the compact forms equal the sharp ones; inside they miss by e/4."""
    s = Smoothing(e)
    z = np.array([a])
    sharp = {
        "pos": (pos(z, s)[0], max(a, 0.0)),
        "ramp": (ramp(z, s)[0], min(max(a, 0.0), 1.0)),
        "sign": (sign(z, s)[0], min(max(a, -1.0), 1.0)),
        "least": (least(z, np.array([b]), s)[0], min(a, b)),
        "size": (size(z, s)[0], abs(a)),
    }
    corners = {
        "pos": [a],
        "ramp": [a, a - 1],
        "sign": [a + 1, a - 1],
        "least": [a - b],
        "size": [a],
    }
    for name, (rounded, exact) in sharp.items():
        away = all(abs(corner) >= e for corner in corners[name])
        assert float(rounded[0]) == pytest.approx(exact, rel=0, abs=1e-12 if away else 0.51 * e), (
            name
        )
