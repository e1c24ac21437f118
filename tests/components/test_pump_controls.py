"""Controls of variable pumps, alone and together: closed forms over pressure and speed."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.pipeline import parse
from circuitcheck.reports.control_tables import controls_table
from tests.components.bench import BAR, L_MIN, bar, bench, sources
from tests.components.refusals import refusals
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


# ---- droop and hysteresis shown ------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "front", "load", "droop", "band"),
    [
        ("pressure compensated, compensator 250 bar, compensator band 10 bar", 246, 0, 4, 10),
        ("load sensing, margin 20 bar, margin band 3 bar", 99, 80, 1, 3),
        ("remote pressure, margin 20 bar, margin band 3 bar", 99, 80, 1, 3),
    ],
)
def test_droop_is_how_far_a_control_stands_under_its_setting(
    said: str, front: float, load: float, droop: float, band: float
) -> None:
    """Setting less what is held now: 250 - 246, 20 - (99 - 80); hysteresis 4 % of the band."""
    sensed = {"TX": load} if load else {}
    values = found(f"{said}, hysteresis 4 %", front, **sensed)
    assert values["droop"] / BAR == pytest.approx(droop, rel=1e-6)
    assert values["control band"] / BAR == pytest.approx(band, rel=1e-9)
    assert values["hysteresis band"] / BAR == pytest.approx(0.04 * band, rel=1e-9)
    assert values["stroke"] == pytest.approx(droop / band, abs=0.006)


def test_hysteresis_leaves_a_range_of_flow() -> None:
    """4 % of 75 L/min: 1.5 L/min to either side of the solved flow, no more than full stroke."""
    values = found("electric displacement, hysteresis 4 %", 100, "P1 at 50 %")
    assert values["flow rising"] / L_MIN == pytest.approx(36.0, rel=1e-6)
    assert values["flow falling"] / L_MIN == pytest.approx(39.0, rel=1e-6)
    assert math.isnan(values["droop"])
    values = found("electric displacement, hysteresis 4 %", 100)
    assert values["flow rising"] == pytest.approx(values["flow falling"])


# ---- at rest -------------------------------------------------------------------------

OPEN = (
    "pressure compensated, compensator 200 bar",
    "load sensing",
    "remote pressure",
    "variable, torque limit 100 Nm",
    "electric displacement",
)


@pytest.mark.parametrize("control", OPEN)
def test_pump_of_an_open_circuit_starts_at_full_stroke(control: str) -> None:
    """No pressure anywhere: the spring holds it at full stroke."""
    sensed = {"TX": 0.0} if control in OPEN[1:3] else {}
    assert found(control, 0.0, **sensed)["stroke"] == pytest.approx(1.0)


def test_pump_of_a_closed_loop_starts_at_no_stroke() -> None:
    parts = f"{sources(TA=0, TB=0, TT=0)}\nP1 pump, closed loop, both ways, {PUMP}"
    lines = "from TA to P1 A\nfrom TB to P1 B\nfrom TT to P1 L"
    point = bench(parts, lines)
    assert point["P1"].values["stroke"] == 0.0
    assert point["P1"].state == "centred"


@pytest.mark.parametrize("front", [150, 250, 350])
def test_ideal_torque_limit_is_the_hyperbola(front: float) -> None:
    """x p = const; the springs touch it twice and lie 5 % under it between."""
    ideal = 100 * TURN / 50e-6 / (front * BAR)
    values = found("variable, torque limit 100 Nm", front)
    assert values["stroke"] == pytest.approx(min(1.0, ideal), rel=2e-3)


# ---- two pumps that name each other --------------------------------------------------

PAIR = """E1 engine, 60 kW, 1500 rpm
P1 pump, variable, 50 cc/rev, driven by E1, volumetric 100 %, mechanical 100 %, {first}
P2 pump, variable, 30 cc/rev, driven by E1, volumetric 100 %, mechanical 100 %{second}"""
PAIRED = "from TT to P1 S and P2 S\nfrom P1 P to TP\nfrom P2 P to TQ\nfrom P1 L and P2 L to TT"


@settings(max_examples=20, deadline=None)
@given(st.floats(20, 300), st.floats(20, 300), st.sampled_from((1, 2, 3)))
def test_pumps_that_name_each_other_share_one_torque(p1: float, p2: float, who: int) -> None:
    """T1 + T2 = const at x1 = x2, whichever of the two says it, or both."""
    first = "torque limit 150 Nm" + ", power sum with P2" * (who != 2)
    second = ", power sum with P1" * (who != 1)
    parts = f"{sources(TT=0, TP=p1, TQ=p2)}\n{PAIR.format(first=first, second=second)}"
    point = bench(parts, PAIRED)
    asked = (50e-6 * p1 + 30e-6 * p2) * BAR / TURN
    for name in ("P1", "P2"):
        assert point[name].values["stroke"] == pytest.approx(min(1.0, 150 / asked), abs=0.006)
    both = point["P1"].values["torque"] + point["P2"].values["torque"]
    assert both == pytest.approx(min(150.0, asked), rel=0.006)
    if asked > 151:
        assert point["P1"].state == point["P2"].state == "on torque limit"


@pytest.mark.parametrize(
    ("first", "second", "message"),
    [
        ("torque limit 9 Nm, power sum with P1", "", "cannot be its own partner"),
        ("torque limit 9 Nm, power sum with E1", "", "E1 (engine) is no pump"),
        ("torque limit 9 Nm, power sum with P3", "", "P3 is a fixed pump"),
        ("torque limit 9 Nm, power sum with", "", "power sum with what?"),
        ("power sum with P2", "", "share a torque, but how much?"),
        ("torque limit 9 Nm, power sum with P2", ", torque limit 8 Nm", "one 'torque limit', but"),
        ("torque limit 9 Nm, power sum with P2, partner displacement 9 cc/rev", "", "already"),
        ("torque limit 9 Nm, power sum with P3", ", power sum with P1", "P3 is a fixed pump"),
        ("torque limit 9 Nm, power sum", "", "but with which?"),
        ("torque limit 9 Nm, power sum with P4", "", "there is no part P4"),
        ("torque limit 9 Nm, power sum with P5", "", "P1 and P5 are not on one shaft"),
    ],
)
def test_partners_that_cannot_be_are_refused(first: str, second: str, message: str) -> None:
    parts = PAIR.format(first=first, second=second)
    found = refusals(
        f"{parts}\nP3 pump, fixed, 9 cc/rev, driven by E1\nP5 pump, variable, 9 cc/rev, 9 rpm"
    )
    assert any(message in one for one in found), found


def test_open_outlet_of_a_partner_is_still_an_open_port() -> None:
    parts = PAIR.format(first="torque limit 9 Nm, power sum with P2", second="")
    lines = PAIRED.replace("from P2 P to TQ\n", "")
    text = f'circuit "b"\noil ISO VG 46\nparts\n{sources(TT=0, TP=9)}\n{parts}\nlines\n{lines}\n'
    assert [f.message for f in parse(text).mistakes] == ["port P of P2 is not joined to anything"]


def test_partners_inside_a_block_are_those_of_the_block() -> None:
    text = f"""circuit "b"
oil ISO VG 46
block twin
  ports S, P, Q
  parts
    E1 engine, 60 kW, 1500 rpm
    T1 tank
    P1 pump, variable, 50 cc/rev, driven by E1, torque limit 150 Nm, power sum with P2
    P2 pump, variable, 50 cc/rev, driven by E1
  lines
    from S to P1 S and P2 S
    from P1 P to P
    from P2 P to Q
    from P1 L and P2 L to T1
end block
parts
  {sources(TT=0)}
  {sources(TP=200)}
  {sources(TQ=200)}
  A1 twin
lines
  from TT to A1 S
  from A1 P to TP
  from A1 Q to TQ
"""
    (point,) = parse(text).solve()
    assert point["A1/P1"].values["stroke"] == pytest.approx(150 * TURN / 2000, abs=0.006)
    assert point["A1/P1"].state == point["A1/P2"].state == "on torque limit"


def test_report_shows_droop_and_what_hysteresis_leaves_open() -> None:
    said = "pressure compensated, compensator 250 bar, compensator band 10 bar, hysteresis 4 %"
    parts = f"{sources(TT=0, TP=246)}\nP1 pump, {said}, {PUMP}"
    shown = controls_table(bench(parts, DRAINED).parts.values(), "metric")
    (row,) = shown.rows
    assert row[:5] == ("P1", "on cut-off", "40 %", "4", "10")
    assert row[5] == "28.5 to 31.5"
    assert len(shown.notes) == 2


def test_report_has_no_row_for_a_pump_that_nothing_holds() -> None:
    parts = f"{sources(TT=0, TP=100)}\nP1 pump, variable, torque limit 500 Nm, {PUMP}"
    assert controls_table(bench(parts, DRAINED).parts.values(), "metric").rows == ()
