"""Controls of variable pumps, alone and together: closed forms over pressure and speed."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.components.bench import BAR, L_MIN, bar, bench, sources
from tests.components.test_closed_loop import sound

TURN = 2 * math.pi
PUMP = "50 cc/rev, 1500 rpm, volumetric 100 %, mechanical 100 %"
DRAINED = "from TT to P1 S\nfrom P1 P to TP\nfrom P1 L to TT"


def found(said: str, front: float, step: str = "", **more: float) -> dict[str, float]:
    parts = f"{sources(TT=0, TP=front, **more)}\nP1 pump, {said}, {PUMP}"
    lines = DRAINED + "".join(f"\nfrom {name} to P1 {name[1:]}" for name in more)
    return bench(parts, lines, step)["P1"].values


@pytest.mark.parametrize(
    ("pilot", "front", "stroke"), [(150, 168.5, 0.5), (150, 170, 0), (80, 90, 1)]
)
def test_remote_pressure_stands_a_spring_over_its_pilot(
    pilot: float, front: float, stroke: float
) -> None:
    """p = p_X + spring, over its band of 3 bar."""
    at = found("remote pressure, margin 20 bar", front, TX=pilot)["stroke"]
    assert at == pytest.approx(stroke, abs=0.006)


def test_remote_pressure_set_by_a_pilot_relief() -> None:
    """Pilot oil over an orifice, held by a relief of 120 bar: the pump stands at 140 bar."""
    parts = f"{sources(TT=0)}\nP1 pump, remote pressure, margin 20 bar, {PUMP}\n"
    parts += "TH1 throttle, 1.5 L/min at 20 bar\nR1 relief, set 120 bar, 1.5 L/min, direct\n"
    parts += "R2 relief, set 250 bar"
    lines = "from TT to P1 S\nfrom P1 P to TH1 in and R2 P\nfrom TH1 out to P1 X and R1 P\n"
    lines += "from R1 T and R2 T and P1 L to TT"
    point = bench(parts, lines)
    assert bar(point, "P1", "P") == pytest.approx(140, abs=1.5)
    assert point["P1"].state == "on remote pressure"


@pytest.mark.parametrize("front", [80, 150, 200, 300])
def test_two_springs_stay_under_the_torque_limit_by_five_per_cent(front: float) -> None:
    """Two tangents of p x = const, never over it, at most 5 % under it."""
    values = found("variable, torque limit 100 Nm, two-spring torque limit", front)
    ideal = min(1.0, 100 * TURN / 50e-6 / (front * BAR))
    assert ideal * 0.945 - 0.006 <= values["stroke"] <= ideal + 0.006


@settings(max_examples=25, deadline=None)
@given(st.floats(20, 300), st.floats(20, 300))
def test_power_sum_keeps_both_pumps_within_one_torque(p1: float, p2: float) -> None:
    """x1 = x2 = M/(D1 p1 + D2 p2)."""
    parts = f"{sources(TT=0, TP=p1, TQ=p2)}\nE1 engine, 60 kW, 1500 rpm\n"
    said = "variable, power sum, torque limit 150 Nm, volumetric 100 %, mechanical 100 %"
    parts += f"P1 pump, {said}, 50 cc/rev, driven by E1, partner displacement 30 cc/rev\n"
    parts += f"P2 pump, {said}, 30 cc/rev, driven by E1, partner displacement 50 cc/rev"
    lines = "from TT to P1 S and P2 S\nfrom P1 P and P2 Z to TP\nfrom P2 P and P1 Z to TQ\n"
    lines += "from P1 L and P2 L to TT"
    point = bench(parts, lines)
    asked = (50e-6 * p1 + 30e-6 * p2) * BAR / TURN
    share = min(1.0, 150 / asked)
    for name in ("P1", "P2"):
        assert point[name].values["stroke"] == pytest.approx(share, abs=0.006)
    assert point["E1"].values["torque"] <= 150.5 * 1.006


@pytest.mark.parametrize(
    ("front", "load", "state", "stroke"),
    [
        (60, 58, "on full stroke", 1.0),
        (98.5, 80, "on margin", 0.5),
        (200, 199, "on torque limit", 100 * TURN / 50e-6 / 200e5),
        (247, 246, "on cut-off", 3 / 7),
    ],
)
def test_load_sensing_torque_limit_and_cut_off_together(
    front: float, load: float, state: str, stroke: float
) -> None:
    """The least of what the three ask for; pressure over the load decides which it is."""
    limit = 400 if state == "on cut-off" else 100
    said = f"load sensing, margin 20 bar, compensator 250 bar, torque limit {limit} Nm"
    parts = f"{sources(TT=0, TP=front, TX=load)}\nP1 pump, {said}, {PUMP}"
    point = bench(parts, DRAINED + "\nfrom TX to P1 X")
    assert point["P1"].values["stroke"] == pytest.approx(stroke, abs=0.007)
    assert point["P1"].state == state


def test_both_ways_pump_in_an_open_circuit_turns_its_flow_round() -> None:
    values = found("variable, both ways", 30, "P1 at -40 %")
    assert values["flow"] / L_MIN == pytest.approx(-0.4 * 75, rel=1e-6)


def test_hysteresis_is_shown_about_the_stroke() -> None:
    values = found("electric displacement, hysteresis 4 %", 100, "P1 at 50 %")
    assert values["stroke"] == pytest.approx(0.5, abs=1e-6)
    assert values["stroke rising"] == pytest.approx(0.48, abs=1e-6)
    assert values["stroke falling"] == pytest.approx(0.52, abs=1e-6)


def test_control_oil_leaves_the_outlet_by_the_case() -> None:
    """1.5 L/min at 200 bar, so 0.75 at 100; given to the case."""
    values = found("variable, control oil 1.5 L/min at 200 bar", 100)
    assert values["case drain"] / L_MIN == pytest.approx(0.75, rel=1e-6)
    assert values["flow"] / L_MIN == pytest.approx(75 - 0.75, rel=1e-6)


def test_dead_head_and_low_standby_of_the_check_values() -> None:
    """Shut off: a cut-off of 250 bar stands there; oil power = p q of slip and control oil."""
    said = "pressure compensated, 50 cc/rev, 1500 rpm, compensator 250 bar,"
    said += " control oil 1 L/min at 250 bar, case drain 2 L/min at 250 bar, volumetric 98 %"
    parts = f"{sources(TT=0)}\nP1 pump, {said}\nG1 gauge"
    point = bench(parts, "from TT to P1 S\nfrom P1 P to G1\nfrom P1 L to TT")
    assert 243 <= bar(point, "P1", "P") <= 250.2
    drain = point["P1"].values["case drain"] / L_MIN
    assert drain == pytest.approx(3.0 * bar(point, "P1", "P") / 250, rel=1e-3)
    assert point["P1"].state == "on cut-off"


CONTROLS = (
    "pressure compensated, compensator 120 bar",
    "load sensing, margin 14 bar",
    "load sensing, margin 30 bar, compensator 200 bar, power limit 9 kW",
    "remote pressure, control oil 2 L/min",
    "variable, torque limit 60 Nm, two-spring torque limit",
    "electric displacement, both ways, compensator 180 bar",
)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(CONTROLS),
    st.floats(0, 400),
    st.floats(0, 300),
    st.floats(0, 100),
    st.floats(100, 3000),
)
def test_every_control_conserves_oil_and_makes_no_power(
    control: str, front: float, sensed: float, stroke: float, rpm: float
) -> None:
    parts = f"{sources(TT=0, TP=front, TX=sensed)}\nP1 pump, {control}, 50 cc/rev, {rpm!r} rpm"
    lines = DRAINED + "\nfrom TX to P1 X" * control.startswith(("load", "remote"))
    sound(bench(parts, lines, f"P1 at {stroke!r} %"), "P1")
