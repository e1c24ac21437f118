"""What stays where it is between two pressures: unloading valve, pressure switch, burst valve."""

from __future__ import annotations

import math

import pytest

from tests.components.bench import bar, bench, flow, sources
from tests.components.refusals import refusals
from tests.components.steps import run

# a small pump under a proportional relief is a pressure that every step sets
SOURCE = """TT tank, 100 L
M2 electric motor, 1000 rpm
P2 pump, 10 cc/rev, driven by M2, volumetric 100 %
R2 relief, direct, proportional, set 400 bar, 10 L/min, cracks 399 bar"""
SOURCE_LINES = "from TT to P2 S\nfrom P2 P to R2 P\nfrom R2 T to TT"


def pressures(*values: float) -> str:
    """Steps that set the source to pressures [bar]."""
    return "\n".join(f"step s{i}, R2 set {value} bar" for i, value in enumerate(values))


def test_a_differential_unloading_valve_opens_at_one_pressure_and_shuts_at_the_other() -> None:
    parts = f"{SOURCE}\nTP tank, 100 L, gas 50 bar\nU1 unloading valve, differential, set 200 bar, "
    lines = f"{SOURCE_LINES}\nfrom TP to U1 P\nfrom U1 T to TT\nfrom P2 P to U1 X"
    points = run(
        parts + "shuts 170 bar, 60 L/min at 3 bar",
        lines,
        pressures(150, 199, 203, 180, 171, 160, 180, 199, 203),
    )
    assert [point["U1"].state for point in points] == [
        "closed", "closed", "regulating", "held open", "held open", "closed", "closed", "closed",
        "regulating",
    ]  # fmt: skip
    open_flow = 60.0 * math.sqrt(50.0 / 3.0)
    assert flow(points[3], "U1", "P") == pytest.approx(open_flow, rel=6e-3)
    assert flow(points[6], "U1", "P") < 1e-3


def test_its_closing_pressure_is_85_per_cent_where_none_is_given() -> None:
    parts = f"{SOURCE}\nTP tank, 100 L, gas 50 bar\nU1 unloading valve, differential, set 200 bar"
    lines = f"{SOURCE_LINES}\nfrom TP to U1 P\nfrom U1 T to TT\nfrom P2 P to U1 X"
    points = run(parts, lines, pressures(203, 171, 168, 171))
    states = [point["U1"].state for point in points]
    assert states[1] == "held open"
    assert states[2:] == ["about to shut", "closed"]


def test_an_unloading_valve_with_its_own_check_charges_and_unloads() -> None:
    """Closed it lets the pump through its check; open, the check holds the charged side."""
    for gas, state in ((100, "closed"), (206, "open")):
        parts = f"TT tank, 100 L\nM1 electric motor, 1000 rpm\nTA tank, 100 L, gas {gas} bar\n"
        parts += "P1 pump, 30 cc/rev, driven by M1, volumetric 100 %\n"
        parts += "U1 unloading valve, built-in check, set 200 bar, 60 L/min at 3 bar"
        point = bench(parts, "from TT to P1 S\nfrom P1 P to U1 P\nfrom U1 T to TT\nfrom U1 A to TA")
        assert point["U1"].state == state
        if state == "closed":
            assert flow(point, "U1", "A") == pytest.approx(-30.0, rel=1e-4)
        else:
            # a quarter of 3 bar at half the rated flow; the law starts straight at 0.1 bar
            assert bar(point, "U1", "P") == pytest.approx(0.75, rel=0.03)
            assert abs(flow(point, "U1", "A")) < 1e-3


def test_it_charges_an_accumulator_between_its_two_pressures() -> None:
    """Unloaded, the accumulator alone feeds the tap; every step ends between the pressures."""
    parts = """TT tank, 200 L
M1 electric motor, 1450 rpm
P1 pump, 20 cc/rev, driven by M1, volumetric 100 %
U1 unloading valve, built-in check, differential, set 150 bar, shuts 125 bar
AC1 accumulator, 10 L, precharge 90 bar
TH1 throttle, 3 L/min at 100 bar"""
    lines = """from TT to P1 S
from P1 P to U1 P
from U1 T to TT
from U1 A to AC1 P
from U1 A to TH1 in
from TH1 out to TT"""
    steps = "step start, 4 s\nstep fill, 10 s\nstep hold, 10 s\nstep fall, 30 s\nstep again, 8 s"
    points = run(parts, lines, steps)
    assert [p["U1"].state for p in points] == [
        "closed", "regulating", "held open", "about to shut", "regulating",
    ]  # fmt: skip
    assert bar(points[1], "U1", "A") == pytest.approx(150.0, abs=1.0)
    assert 125.0 < bar(points[2], "U1", "A") < 150.0
    assert bar(points[3], "U1", "A") == pytest.approx(122.5, abs=2.5)
    held = points[2]
    tap = 3.0 * math.sqrt(bar(held, "U1", "A") / 100.0)
    assert flow(held, "AC1", "P") == pytest.approx(-tap, rel=1e-3)
    assert bar(held, "U1", "P") == pytest.approx(3.0 * (29.0 / 60.0) ** 2, rel=0.03)


def test_an_unloading_valve_adds_its_tank_pressure_to_its_setting() -> None:
    for pilot, opened in ((59.0, False), (61.0, True)):
        point = bench(
            f"{sources(TP=100, TX=pilot, TT=10)}\nU1 unloading valve, set 50 bar",
            "from TP to U1 P\nfrom TX to U1 X\nfrom U1 T to TT",
        )
        assert (point["U1"].state != "closed") is opened


def test_an_unloading_valve_may_be_worked_by_its_own_inlet() -> None:
    parts = "TT tank, 100 L\nM1 electric motor, 1000 rpm\nU1 unloading valve, internal pilot, "
    parts += "set 50 bar\nP1 pump, 30 cc/rev, driven by M1, volumetric 100 %"
    point = bench(parts, "from TT to P1 S\nfrom P1 P to U1 P\nfrom U1 T to TT")
    assert 50.0 < bar(point, "U1", "P") < 55.0


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("set 100 bar, shuts 80 bar", "not said to be differential"),
        ("set 100 bar, differential, shuts 100 bar", "not below"),
        ("set 100 bar, differential, internal pilot", "very pressure that it lets go"),
    ],
)
def test_unloading_valves_that_cannot_be(said: str, words: str) -> None:
    assert any(words in message for message in refusals(f"U1 unloading valve, {said}"))


def test_a_pressure_switch_makes_and_breaks_at_two_pressures_and_takes_no_oil() -> None:
    parts = f"{SOURCE}\nPS1 pressure switch, 100 bar, differential 15 bar"
    lines = f"{SOURCE_LINES}\nfrom P2 P to PS1 M"
    points = run(parts, lines, pressures(90, 99, 101, 95, 86, 84, 95, 101))
    made = [point["PS1"].state == "contact made" for point in points]
    assert made == [False, False, True, True, True, False, False, True]
    assert all(flow(point, "PS1", "M") == 0.0 for point in points)
    assert points[3]["PS1"].values["switches at"] == pytest.approx(85e5)
    assert points[6]["PS1"].values["switches at"] == pytest.approx(100e5)


def test_a_breaking_contact_tells_the_opposite() -> None:
    parts = f"{SOURCE}\nPS1 pressure switch, 100 bar, breaks at setting"
    points = run(parts, f"{SOURCE_LINES}\nfrom P2 P to PS1 M", pressures(90, 101))
    assert [p["PS1"].state for p in points] == ["contact made", "contact broken"]


def test_a_switch_that_never_breaks_is_refused() -> None:
    (message,) = refusals("PS1 pressure switch, 50 bar, differential 60 bar")
    assert "would never break" in message


# a plunger of 100 kN on 50 cm2: 200 bar; the throttle behind the hose lets it down
LOAD = """TT tank, 100 L
TS tank, 100 L, gas 250 bar
C1 cylinder, plunger, rod 79.7885 mm, stroke 2 m, at start 1 m, weight 100 kN, efficiency 100 %
B1 burst valve, closes 60 L/min, 40 L/min at 4 bar{bleed}
V1 valve 3/2, 200 L/min at 1 bar
TH1 throttle, 80 L/min at 200 bar
TH2 throttle, 20 L/min at 50 bar"""
LOAD_LINES = """from C1 cap to B1 in
from B1 out to V1 A
from V1 T to TH1 in
from TH1 out to TT
from TS to TH2 in
from TH2 out to V1 P"""


def test_a_burst_valve_holds_the_load_until_it_is_lifted() -> None:
    points = run(
        LOAD.format(bleed=""),
        LOAD_LINES,
        "step lower, TH1 open 50 %\nstep burst, TH1 open 100 %\nstep hold, TH1 open 50 %\n"
        "step lift, V1 at a\nstep again, TH1 open 50 %",
    )
    assert [p["B1"].state for p in points] == ["open", "shut", "shut", "open", "open"]
    slow = 40.0 * math.sqrt((200.0 - 4.0) / 200.0)
    assert flow(points[0], "B1", "in") == pytest.approx(slow, rel=5e-3)
    assert flow(points[4], "B1", "in") == pytest.approx(slow, rel=5e-3)
    assert abs(flow(points[1], "B1", "in")) < 1e-3
    assert abs(points[2]["C1"].values["speed"]) < 1e-6
    assert points[3]["C1"].values["speed"] > 0.01


def test_behind_a_valve_without_leakage_it_is_solved_straight_away() -> None:
    """A throttle that leads into a dead end has its root at zero flow, where Newton swings."""
    parts = LOAD.format(bleed="").replace("at 1 bar", "at 1 bar, leakage 0 L/min")
    points = run(parts, LOAD_LINES, "step lower, TH1 open 50 %\nstep burst, TH1 open 100 %")
    assert [p["B1"].state for p in points] == ["open", "shut"]
    assert all(p.method in ("direct", "from before") for p in points)


def test_its_bleed_hole_lets_the_load_down_slowly() -> None:
    """Hole of 1 mm, coefficient 0.62, 870 kg/m3, 200 bar: 6.26 L/min."""
    points = run(LOAD.format(bleed=", bleed 1 mm"), LOAD_LINES, "step burst, TH1 open 100 %")
    hole = 0.62 * math.pi / 4 * 1e-6 * math.sqrt(2 * 198.8e5 / 870) * 60e3
    assert points[0]["B1"].state == "shut"
    assert flow(points[0], "B1", "in") == pytest.approx(hole, rel=2e-3)


def test_near_to_closing_is_told() -> None:
    points = run(LOAD.format(bleed=""), LOAD_LINES, "step fast, TH1 open 70 %")
    assert points[0]["B1"].state == "open, near to closing"
    assert 0.9 < points[0]["B1"].values["closing share"] < 1.0


def test_a_burst_valve_without_drop_at_its_closing_flow_is_refused() -> None:
    (message,) = refusals("B1 burst valve, closes 60 L/min, 400 L/min at 4 bar")
    assert "would reopen" in message
