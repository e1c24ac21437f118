"""Motors that start: breakaway torque against the published case and the closed form."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.solver.operating import OperatingPoint
from tests.components.bench import BAR, bench, sources
from tests.components.refusals import refusals

TURN = 2 * math.pi
LINES = "from TA to TH1 in\nfrom TH1 out to M1 A\nfrom M1 B and M1 L to TT"
PUBLISHED = "gear, 3.5 cu in/rev, mechanical 90 %, volumetric 95 %, starting torque 75 %,"
PUBLISHED += " test pressure 158 bar"
LOAD = "M1 load 80 lb-ft"


def started(front: float, said: str = PUBLISHED, load: str = LOAD) -> OperatingPoint:
    parts = f"{sources(TA=front, TT=0)}\nTH1 throttle, 40 L/min at 20 bar\nM1 motor, {said}"
    return bench(parts, LINES, load)


def test_published_starting_pressure_of_a_motor() -> None:
    """WE-29: 80 lb-ft of 3.5 cu in/rev at a starting efficiency of 75 % need 2298 psi.

    Fluid Power: Theory and Applications, example 14.2: 2344 psi, with 0.013 for 1/(24 pi).
    """
    low, high = started(157.5), started(160.0)
    assert low["M1"].state == "stalled"
    assert low["M1"].values["speed"] == 0.0
    assert high["M1"].state == "turning"
    needed = low["M1"].values["drop to start"] / BAR
    assert needed == pytest.approx(158.4, rel=1e-3)
    assert needed == pytest.approx(2344 * 0.0689476, rel=0.021)


def test_torque_at_start_is_the_share_of_that_without_losses() -> None:
    """75 % of D dp at the test pressure."""
    values = started(158)["M1"].values
    ideal = 3.5 * 1.6387064e-5 * values["drop"] / TURN
    assert values["torque at start"] == pytest.approx(0.75 * ideal, rel=1e-3)


@pytest.mark.parametrize("front", [79, 158])
def test_constant_torque_lost_is_part_of_what_it_loses_at_start(front: float) -> None:
    """Of 75 % of D dp at the test pressure 40 Nm are lost at any pressure, the rest with it."""
    lost = "slip coefficient 1e-9, drag coefficient 5e4, friction coefficient 0.02"
    said = f"gear, 3.5 cu in/rev, {lost}, constant torque 40 Nm, starting torque 75 %"
    values = started(front, f"{said}, test pressure 158 bar")["M1"].values
    full = 3.5 * 1.6387064e-5 / TURN
    expected = 0.75 * full * values["drop"] + 40.0 * (values["drop"] / 158e5 - 1.0)
    assert values["torque at start"] == pytest.approx(expected, rel=1e-9)
    needed = (max(abs(values["torque"]), 80 * 1.3558179483) + 40.0) / (0.75 * full + 40.0 / 158e5)
    assert values["drop to start"] == pytest.approx(needed, rel=1e-6)


def test_running_motor_knows_nothing_of_its_start() -> None:
    with_start, without = started(200), started(200, PUBLISHED.replace("starting torque 75 %,", ""))
    for name in ("speed", "torque", "drop", "flow"):
        assert with_start["M1"].values[name] == pytest.approx(without["M1"].values[name], rel=1e-9)


def test_pressure_that_would_keep_it_running_does_not_start_it() -> None:
    """At 140 bar 90 % of the torque would carry the load: 75 % do not start it."""
    assert started(145, PUBLISHED.replace("starting torque 75 %,", ""))["M1"].state == "turning"
    assert started(145)["M1"].state == "stalled"


def test_constant_efficiency_has_a_start_too() -> None:
    said = "gear, 3.5 cu in/rev, constant efficiency, mechanical 90 %, starting torque 75 %"
    assert started(157.5, said)["M1"].state == "stalled"
    assert started(160, said)["M1"].state == "turning"


def test_it_turns_back_as_well() -> None:
    parts = f"{sources(TA=160, TT=0)}\nTH1 throttle, 40 L/min at 20 bar\nM1 motor, {PUBLISHED}"
    lines = LINES.replace("M1 A", "M1 x").replace("M1 B", "M1 A").replace("M1 x", "M1 B")
    point = bench(parts, lines, LOAD)
    assert point["M1"].state == "turning back"
    assert point["M1"].values["torque at start"] < 0.0


def test_a_motor_set_over_centre_starts_the_other_way() -> None:
    said = PUBLISHED.replace("gear,", "variable, both ways, axial piston,")
    ahead, back = (started(158, said, f"{LOAD}, M1 at {at} %")["M1"].values for at in (100, -100))
    assert ahead["torque at start"] > 100.0
    assert back["torque at start"] == pytest.approx(-ahead["torque at start"], rel=1e-2)


@settings(max_examples=30, deadline=None)
@given(st.floats(20, 350), st.floats(30, 90), st.floats(5, 200))
def test_it_starts_where_the_closed_form_says(front: float, share: float, load: float) -> None:
    """Stands while load > D dp (share) + constant torque (dp/test - 1), runs beyond."""
    said = f"gear, 40 cc/rev, mechanical 90 %, starting torque {share!r} %, test pressure 200 bar"
    point = started(front, said, f"M1 load {load!r} Nm")
    full = 40e-6 / TURN
    held = 0.1 * 0.1 * full * 200 * BAR
    gives = share / 100 * full * front * BAR + held * (front / 200 - 1)
    if load > gives * 1.02 + 0.1:
        assert point["M1"].values["speed"] == 0.0
    if load < gives * 0.95 - 0.5:
        assert point["M1"].values["speed"] > 0.0
    assert point.power_error < 1e-6


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ("mechanical 90 %, starting torque 95 %", "more torque from rest than when it turns"),
        ("friction coefficient 0.1, starting torque 95 %", "more torque from rest"),
        ("starting torque 2 %", "starting torque"),
    ],
)
def test_what_cannot_be_is_refused(said: str, message: str) -> None:
    found = refusals(f"M1 motor, 40 cc/rev, {said}")
    assert any(message in one for one in found), found
