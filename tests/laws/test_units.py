"""Pumps and motors: each loss and each control by its own formula."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.laws.smoothing import Array, Smoothing
from tests.laws.element import BAR, values

FULL = 45e-6 / (2 * np.pi)
WAYS = st.sampled_from([-1.0, 1.0])


def unit(out: float, inlet: float, w: float, sensed: float = 0.0, **figures: float) -> Array:
    x = [out * BAR, inlet * BAR, sensed * BAR, w, 0.0]
    return values("rotary", x, full=FULL, **figures)


@given(st.floats(-300, 300), st.floats(1, 300), WAYS, st.floats(-1, 1))
def test_lost_torque(bar: float, speed: float, way: float, stroke: float) -> None:
    """drag w + (rub abs(dp) + stick) sign(w), whatever the stroke."""
    lost = {"drag": 2e-3, "rub": 0.05 * FULL, "stick": 1.5}
    if abs(bar) < 0.03:
        return
    w = way * speed
    flow, torque, _ = unit(bar + 3, 3, w, command=stroke, **lost)
    expected = stroke * FULL * bar * BAR + 2e-3 * w
    expected += way * (0.05 * FULL * abs(bar) * BAR + 1.5)
    assert torque == pytest.approx(expected, rel=1e-9, abs=1e-9)
    assert flow == pytest.approx(stroke * FULL * w, rel=1e-9, abs=1e-20)


@given(st.floats(-300, 300), st.floats(1, 300), WAYS, st.floats(-1, 1), st.floats(0, 0.5))
def test_oil_pressed_together_goes_back(
    bar: float, speed: float, way: float, stroke: float, dead: float
) -> None:
    """D abs(w) dp/K (dead + (1 - abs(x))/2) from the high to the low side."""
    flow = unit(bar + 3, 3, way * speed, command=stroke, pressed=1 / 1.4e9, dead=dead)[0]
    back = FULL * speed * bar * BAR / 1.4e9 * (dead + 0.5 * (1 - abs(stroke)))
    assert flow == pytest.approx(stroke * FULL * way * speed - back, rel=1e-9, abs=1e-18)


@pytest.mark.parametrize(
    ("name", "reach"),
    [("drag", 2e-3 * 100), ("rub", 0.05 * FULL * 100 * BAR), ("stick", 1.5)],
)
def test_each_loss_alone(name: str, reach: float) -> None:
    figure = {"drag": 2e-3, "rub": 0.05 * FULL, "stick": 1.5}[name]
    torque = unit(100, 0, 100, **{name: figure})[1]
    assert torque == pytest.approx(FULL * 100 * BAR + reach, rel=1e-9)


@pytest.mark.parametrize(
    ("out", "inlet", "share"), [(200, 0, 0.5), (150, 50, 1.0), (0.5, 0.0, 1.0), (0, 200, 1.0)]
)
def test_a_torque_control_looks_at_the_drop_of_its_own_way(
    out: float, inlet: float, share: float
) -> None:
    """M = 0.5 D 200 bar; 100 bar take all of it at full stroke, a motor's drop none."""
    figures = {"torque": 0.5 * FULL * 200 * BAR}
    assert unit(out, inlet, 150, **figures)[2] == pytest.approx(share, abs=0.006)


@pytest.mark.parametrize("way", [-1.0, 1.0])
def test_a_torque_control_of_a_closed_loop_looks_both_ways(way: float) -> None:
    figures = {"torque": 0.5 * FULL * 200 * BAR, "either": 1.0}
    out, inlet = (210, 10) if way > 0 else (10, 210)
    assert unit(out, inlet, 150, **figures)[2] == pytest.approx(0.5, rel=1e-9)


def test_a_partner_below_atmosphere_takes_no_torque() -> None:
    x = [200 * BAR, 0, 0, 150, -0.5 * BAR]
    figures = {"torque": 0.5 * FULL * 200 * BAR, "cross": FULL}
    assert values("rotary", x, full=FULL, **figures)[2] == pytest.approx(0.5, rel=1e-9)


def test_pressure_under_one_bar_counts_as_one_for_the_torque() -> None:
    """So that no stroke is asked for without end; M = 0.5 D 1 bar."""
    assert unit(0.2, 0, 150, torque=0.5 * FULL * BAR)[2] == pytest.approx(0.5, rel=1e-6)


@given(st.floats(1.1, 1.9), st.floats(0.02, 0.1))
def test_two_springs_are_the_higher_of_two_tangents(r: float, deviation: float) -> None:
    """Tangents of 1/r at r1 = 1 + k and r2 = r1 (1 + k)/(1 - k), k = root(deviation)."""
    k = np.sqrt(deviation)
    first = 1 + k
    second = first * (1 + k) / (1 - k)
    lines = [2 / at - r / at**2 for at in (first, second)]
    if abs(lines[0] - lines[1]) < 0.021 or max(lines) > 0.97:
        return
    figures = {"torque": FULL * 200 * BAR / r, "deviation": deviation}
    assert unit(200, 0, 150, **figures)[2] == pytest.approx(max(lines), rel=1e-9)


@pytest.mark.parametrize(
    ("figures", "stroke"),
    [
        ({"cutoff": 204 * BAR, "cutoff_band": 10 * BAR}, 0.4),
        ({"cutoff": 204 * BAR, "cutoff_band": 10 * BAR, "command": 0.2}, 0.2),
        ({"cutoff": 204 * BAR, "cutoff_band": 10 * BAR, "command": -1.0}, -0.4),
        ({"margin": 184 * BAR, "margin_band": 10 * BAR}, 0.4),
        ({"cutoff": 206 * BAR, "margin": 184 * BAR, "margin_band": 10 * BAR}, 0.4),
        ({"cutoff": 204 * BAR, "cutoff_band": 10 * BAR, "margin": 190 * BAR}, 0.4),
        ({"begin": 15 * BAR, "begin_band": 10 * BAR}, 0.5),
        ({"begin": 15 * BAR, "begin_band": 10 * BAR, "cutoff": 201 * BAR}, 1 / 7),
        ({"begin": 15 * BAR, "begin_band": 10 * BAR, "torque": FULL * 50 * BAR}, 0.25),
        ({"torque": FULL * 50 * BAR, "command": 0.1}, 0.1),
    ],
)
def test_the_control_that_asks_for_least_has_its_way(
    figures: dict[str, float], stroke: float
) -> None:
    """At 200 bar with 20 bar sensed."""
    assert unit(200, 0, 150, sensed=20, **figures)[2] == pytest.approx(stroke, rel=1e-9)


def test_wide_controls_on_the_road() -> None:
    wide = Smoothing(widen=10.0)
    for figures in (
        {"cutoff": 240 * BAR, "cutoff_band": 10 * BAR},
        {"cutoff": 240 * BAR, "cutoff_band": 10 * BAR, "either": 1.0},
        {"margin": 220 * BAR, "margin_band": 10 * BAR},
    ):
        x = [200 * BAR, 0, 20 * BAR, 150, 0]
        assert values("rotary", x, wide, full=FULL, **figures)[2] == pytest.approx(0.4), figures


def test_the_side_with_less_pressure_does_not_cut_off() -> None:
    figures = {"cutoff": 250 * BAR, "cutoff_band": 10 * BAR}
    assert unit(100, 260, 150, **figures)[2] == pytest.approx(1.0)
    assert unit(100, 260, 150, either=1.0, **figures)[2] == 0.0


def test_a_standing_unit_with_efficiencies_holds_its_ideal_torque() -> None:
    """Nothing turns, so nothing is known of the way the losses act."""
    flow, torque, _ = unit(100, 0, 0.0, volumetric=0.9, mechanical=0.8)
    assert (flow, torque) == (0.0, pytest.approx(FULL * 100 * BAR))


def test_losses_beside_efficiencies_add_up() -> None:
    figures = {"mechanical": 0.9, "stick": 2.0, "drag": 1e-3}
    torque = unit(100, 0, 150, **figures)[1]
    assert torque == pytest.approx(FULL * 100 * BAR / 0.9 + 2.0 + 0.15)
