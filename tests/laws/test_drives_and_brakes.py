"""Drives, brakes and couplings: closed forms on both sides of every corner."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.laws.machines import STILL_ROD, STILL_SHAFT, missing
from circuitcheck.laws.smoothing import EXACT, Smoothing
from tests.laws.element import BAR, L_MIN, values

CURVE = {f"w{i}": w for i, w in enumerate((80.0, 120.0, 180.0, 220.0))} | {
    f"m{i}": m for i, m in enumerate((300.0, 400.0, 350.0, 250.0))
}


def engine(w: float, **figures: float) -> float:
    given_ = {"idle": 240.0, "stiffness": 20.0, "top": 400.0} | CURVE | figures
    return float(values("slip", [w], **given_)[0])


@given(st.floats(10, 236))
def test_an_engine_gives_the_less_of_curve_and_governor(w: float) -> None:
    """Straight lines through the points, level outside; governor (idle - w) stiffness."""
    most = float(np.interp(w, [80, 120, 180, 220], [300, 400, 350, 250]))
    line = (240.0 - w) * 20.0
    near = abs(most - line) < 0.05 * 400
    assert engine(w) == pytest.approx(min(most, line), abs=0.01 * 400 if near else 1e-9)


def test_a_drive_without_a_curve_follows_its_governor_alone() -> None:
    assert values("slip", [100.0], idle=150.0, stiffness=3.0)[0] == 150.0


@given(st.floats(-100, 300))
def test_an_induction_motor_follows_kloss(w: float) -> None:
    """M = 2 M_k/(s/s_k + s_k/s): the formula of Kloss in its usual form."""
    idle, critical, breakdown = 157.0, 20.0, 90.0
    slip = idle - w
    found = values("slip", [w], idle=idle, critical=critical, breakdown=breakdown, stiffness=7.0)
    kloss = 0.0 if slip == 0.0 else 2 * breakdown / (slip / critical + critical / slip)
    assert found[0] == pytest.approx(kloss, rel=1e-9, abs=1e-12)


def test_a_widened_motor_keeps_its_slope_at_synchronous_speed() -> None:
    figures = {"idle": 157.0, "critical": 20.0, "breakdown": 90.0}
    wide = Smoothing(widen=50.0)
    assert values("slip", [147.0], wide, **figures)[0] == pytest.approx(2 * 90 / 20 * 10, rel=1e-3)
    assert values("slip", [137.0], EXACT, **figures)[0] == pytest.approx(90.0)
    assert values("slip", [157.0 - 1000.0], wide, **figures)[0] == pytest.approx(90.0 * 50)


@pytest.mark.parametrize(("bar", "off"), [(0, 0.0), (10, 0.0), (15, 0.25), (20, 0.5), (40, 1.0)])
@pytest.mark.parametrize("way", [-1.0, 1.0])
def test_a_brake_lets_go_in_proportion(bar: float, off: float, way: float) -> None:
    figures = {"capacity": 800.0, "drag": 5.0, "begins": 10 * BAR, "released": 30 * BAR}
    torque, released = values("brake", [way * 3.0, bar * BAR], **figures)
    assert released == pytest.approx(off, abs=0.006)
    assert torque == pytest.approx(way * (800.0 * (1 - off) + 5.0), abs=0.006 * 800)
    if off in (0.25, 0.5):
        assert released == pytest.approx(off, abs=1e-12)
        assert torque == pytest.approx(way * (800.0 * (1 - off) + 5.0), rel=1e-12)


@pytest.mark.parametrize("creep", [1.0, 100.0])
def test_what_stands_is_told_by_the_speed_of_creeping(creep: float) -> None:
    """At half the speed under which it counts as standing half the full value acts."""
    s = Smoothing(creep=creep)
    shaft, rod = 0.5 * STILL_SHAFT * creep, 0.5 * STILL_ROD * creep
    assert values("brake", [shaft, 0], s, capacity=800.0)[0] == pytest.approx(400.0)
    assert values("load", [rod], s, resisting=1e4)[0] == pytest.approx(5e3)
    force = values("piston", [100 * BAR, 0, rod], s, cap_area=1e-3, share=0.1)[2]
    assert force == pytest.approx(1e4 - 500.0)
    assert values("rotary", [0, 0, 0, shaft, 0], s, full=1e-6, stick=2.0)[1] == pytest.approx(1.0)


@pytest.mark.parametrize("v", [-0.3, 0.2])
def test_viscous_friction_of_load_and_rod(v: float) -> None:
    assert values("load", [v], viscous=500.0, steady=20.0)[0] == pytest.approx(500.0 * v + 20.0)
    force = values("piston", [BAR, BAR, v], cap_area=1e-3, rod_area=4e-4, viscous=3e3)[2]
    assert force == pytest.approx(60.0 - 3e3 * v)


def test_suction_adds_nothing_to_the_friction_of_a_rod() -> None:
    """Pressures under atmosphere push and pull, but press no seal."""
    figures = {"cap_area": 1e-3, "rod_area": 5e-4, "share": 0.1}
    force = values("piston", [-0.5 * BAR, 100 * BAR, -0.2], **figures)[2]
    assert force == pytest.approx(-50.0 - 5000.0 + 500.0)


@pytest.mark.parametrize(("bar", "per_bar"), [(-0.95, 0.05), (-1.9, 1.0)])
def test_missing_oil_is_told_by_what_the_floor_lacks(bar: float, per_bar: float) -> None:
    flow = values("void", [bar * BAR], missing=2.0)[0]
    assert flow == pytest.approx(2.0 * per_bar, rel=1e-9)
    assert float(missing(0.0)) == pytest.approx(1e4 * L_MIN)
    assert float(missing(1.0)) == pytest.approx(20.0)


@pytest.mark.parametrize("way", [-1.0, 1.0])
@pytest.mark.parametrize("slips", [-0.01, 0.01])
def test_a_gear_loses_in_either_direction_of_the_power(way: float, slips: float) -> None:
    """Driving shaft 0 gives M1/(ratio efficiency); driven it gets M1 efficiency/ratio."""
    ratio, efficiency, stiffness = 4.0, 0.9, 1e4
    first = way * 100.0
    x = [first, first / ratio - slips]
    taken, out = values("coupling", x, ratio=ratio, efficiency=efficiency, stiffness=stiffness)
    assert out == pytest.approx(stiffness * slips)
    drives = out * first > 0.0
    shared = out / ratio / efficiency if drives else out / ratio * efficiency
    assert taken == pytest.approx(shared, rel=1e-9)


def test_a_coupling_at_rest_loses_as_much_as_between_both() -> None:
    taken, out = values("coupling", [0.0, -0.02], ratio=2.0, efficiency=0.8, stiffness=1e3)
    assert out == pytest.approx(20.0)
    assert taken == pytest.approx(20.0 / 2.0 * 0.5 * (1 / 0.8 + 0.8))


@pytest.mark.parametrize("slips", [0.5, 0.7, 3.0])
def test_a_limited_coupling_is_whole_under_its_limit(slips: float) -> None:
    out = values("coupling", [slips, 0.0], stiffness=100.0, limit=60.0)[1]
    assert out == pytest.approx(min(100.0 * slips, 60.0))
