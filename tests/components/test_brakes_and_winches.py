"""Brakes and what hangs on a winch, against closed forms of torque and gear."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.solver.operating import OperatingPoint
from tests.components.bench import BAR, bench, sources
from tests.components.refusals import refusals

MOTOR = "M1 motor, gear, 100 cc/rev, volumetric 95 %, mechanical 100 %"
D = 100e-6 / (2 * math.pi)


def braked(brake: str, release: float, front: float, step: str = "") -> OperatingPoint:
    """A motor under ``front`` bar on both lines' difference, its brake at ``release`` bar."""
    parts = f"{sources(TA=front, TB=0, TR=release)}\n{MOTOR}\nB1 brake, {brake}, driven by M1"
    parts += "\nTH1 throttle, 100 L/min at 10 bar"
    lines = "from TA to M1 A\nfrom M1 B to TH1 in\nfrom TH1 out to TB\nfrom TR to B1 R"
    return bench(parts, lines, step or "M1 load 0 Nm")


def test_applied_brake_holds_up_to_its_torque() -> None:
    """100 cc/rev at 100 bar: 159 Nm; 160 Nm hold it, and take up just that torque."""
    found = braked("160 Nm", 0, 100)["B1"]
    assert found.state == "holding"
    assert found.values["torque"] == pytest.approx(D * 100 * BAR, rel=1e-3)
    assert found.values["safety"] == pytest.approx(160 / (D * 100 * BAR), rel=1e-3)
    assert braked("160 Nm", 7, 100)["B1"].values["release pressure"] == pytest.approx(7 * BAR)
    slipping = braked("150 Nm", 0, 100)
    assert slipping["B1"].state == "slipping"
    assert slipping["B1"].values["torque"] == pytest.approx(150, rel=1e-9)
    assert slipping["M1"].values["speed"] > 1.0


def test_slipping_brake_makes_heat_of_torque_and_speed() -> None:
    point = braked("100 Nm", 0, 100, "M1 load 20 Nm")
    speed = point["M1"].values["speed"]
    assert point["B1"].values["heat"] == pytest.approx(100 * speed, rel=1e-6)
    assert point.power_error < 1e-6


@pytest.mark.parametrize(
    ("pressure", "left"), [(0, 300), (12, 300), (16, 150), (18, 75), (20, 0), (60, 0)]
)
def test_torque_falls_in_a_straight_line_with_release_pressure(
    pressure: float, left: float
) -> None:
    found = braked("300 Nm, release 20 bar, begins 12 bar", pressure, 40)["B1"]
    assert found.values["capacity"] == pytest.approx(left, abs=300 * 0.006)  # rounded corner
    word = "released" if left == 0 else "holding" if left == 300 else "partly released"
    assert found.state == word


def test_brake_without_a_line_is_released_by_hand() -> None:
    parts = f"{sources(TA=100, TB=0)}\n{MOTOR}\nB1 brake, 300 Nm, driven by M1"
    parts += "\nTH1 throttle, 100 L/min at 10 bar"
    lines = "from TA to M1 A\nfrom M1 B to TH1 in\nfrom TH1 out to TB"
    assert bench(parts, lines, "M1 load 0 Nm")["B1"].state == "holding"
    by_hand = bench(parts, lines, "M1 load 0 Nm, B1 released")
    assert by_hand["B1"].state == "released"
    assert by_hand["M1"].values["speed"] > 1.0


def test_brake_behind_a_gear_holds_more_and_drags_when_released() -> None:
    point = braked("500 Nm, ratio 0.2, drag 2 Nm", 0, 100)
    assert point["B1"].values["torque"] == pytest.approx(D * 100 * BAR * 0.2, rel=1e-3)
    free = braked("500 Nm, drag 2 Nm", 60, 100)
    assert free["B1"].values["torque"] == pytest.approx(2, rel=1e-9)


def test_released_below_where_it_begins_is_refused() -> None:
    parts = f"{sources(TA=1, TB=0)}\n{MOTOR}\nB1 brake, 5 Nm, release 10 bar, begins 12 bar,"
    assert any("begins to lift at 12 bar" in said for said in refusals(f"{parts} driven by M1"))


@settings(max_examples=25, deadline=None)
@given(
    torque=st.floats(1, 2000),
    pressure=st.floats(0, 60),
    front=st.floats(0, 300),
    load=st.floats(0, 500),
)
def test_power_is_accounted_for(torque: float, pressure: float, front: float, load: float) -> None:
    point = braked(f"{torque!r} Nm", pressure, front, f"M1 load {load!r} Nm")
    assert point.power_error < 1e-6
    assert point["B1"].values["heat"] >= -1e-9
    assert point.imbalance < 1e-9


# ---- winch ---------------------------------------------------------------------------

WINCH = "W1 winch, driven by M1, ratio 20, gear 80 %, drum 250 mm, rope 10 mm"
ARM = 0.5 * (0.250 + 0.010) / 20


@pytest.mark.parametrize(("front", "share"), [(250, 1 / 0.8), (-1, 0.8)])
def test_what_hangs_costs_the_gear_up_and_helps_less_down(front: float, share: float) -> None:
    """Torque on the motor: pull x radius / ratio, over the efficiency up, times it down."""
    parts = f"{sources(TA=max(front, 0), TB=0)}\n{MOTOR}\n{WINCH}, weight 20 kN\n"
    parts += "TH1 throttle, 100 L/min at 50 bar"
    lines = "from TA to TH1 in\nfrom TH1 out to M1 A\nfrom M1 B to TB"
    point = bench(parts, lines, "W1 layer 1")
    found = point["M1"].values
    assert found["torque"] == pytest.approx(20e3 * ARM * share, rel=1e-3)
    assert point["W1"].state == ("hauling in" if front > 0 else "paying out")
    assert point.power_error < 1e-6


def test_brake_holds_what_hangs_while_the_valve_is_shut() -> None:
    """20 kN on 130 mm over 20:1 are 130 Nm; the gear may take up to a fifth of it."""
    parts = f"{sources(TB=0)}\n{MOTOR}\n{WINCH}, weight 20 kN\nB1 brake, 250 Nm, driven by M1\n"
    parts += "CK1 check"
    lines = "from M1 A to CK1 in\nfrom CK1 out to TB\nfrom M1 B to TB"
    point = bench(parts, lines, "W1 layer 1")
    assert point["B1"].state == "holding"
    assert point["W1"].state == "standing"
    assert 0.8 * 20e3 * ARM <= point["B1"].values["torque"] * 1.0001 <= 20e3 * ARM / 0.8
