"""Telescopic cylinders and rotary actuators against closed forms."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.components.bench import L_MIN, bench, sources
from tests.components.refusals import refusals
from tests.components.test_accumulators import run

PUMP = "TT tank\nP1 pump, fixed, 10 cc/rev, 1000 rpm, volumetric 100 %\nR1 relief, set 300 bar\n"
LINES = "from TT to P1 S\nfrom P1 P to C1 cap and R1 P\nfrom R1 T to TT"
STAGES = {"first": 0.120, "second": 0.095, "third": 0.070}
SAID = ", ".join(f"{order} stage {d * 1e3} mm" for order, d in STAGES.items())
TELESCOPE = f"{PUMP}C1 telescopic cylinder, {SAID}, stroke 2400 mm, efficiency 100 %"


def circle(d: float) -> float:
    return math.pi / 4 * d * d


@pytest.mark.parametrize(("place", "stage"), [(100, "first"), (900, "second"), (2000, "third")])
def test_pressure_and_speed_step_up_from_stage_to_stage(place: float, stage: str) -> None:
    """p = F/A_i and v = q/A_i."""
    point = bench(TELESCOPE, LINES, f"C1 load 40 kN, C1 at {place} mm")
    area = circle(STAGES[stage])
    assert point["C1"].ports["cap"].pressure == pytest.approx(40e3 / area, rel=2e-3)
    assert point["C1"].values["speed"] == pytest.approx(10 * L_MIN / area, rel=2e-3)
    assert point["C1"].state == f"{stage} stage moving out"


def test_stages_follow_each_other_through_the_steps() -> None:
    steps = "\n".join(f"step s{i}, C1 load 40 kN, C1 travels 800 mm" for i in range(3)) + "\n"
    found = run(TELESCOPE, LINES, steps)
    assert [point["C1"].values["stage"] for point in found] == [1, 2, 3]
    times = [point.duration for point in found]
    assert times == pytest.approx(
        [0.8 * circle(d) / (10 * L_MIN) for d in STAGES.values()], rel=2e-3
    )


def test_narrowest_stage_comes_back_first() -> None:
    parts = f"{sources(TT=0)}\nC1 telescopic cylinder, {SAID}, stroke 2400 mm, efficiency 100 %,"
    parts += " at start 2400 mm, weight 20 kN\nTH1 throttle, 10 L/min at 50 bar"
    lines = "from C1 cap to TH1 in\nfrom TH1 out to TT"
    found = run(parts, lines, "step a, C1 travels 800 mm\nstep b, C1 travels 800 mm")
    assert [point["C1"].state for point in found] == [
        "third stage moving in",
        "second stage moving in",
    ]
    assert found.points[0]["C1"].ports["cap"].pressure == pytest.approx(
        20e3 / circle(STAGES["third"]), rel=2e-3
    )


def test_a_telescopic_cylinder_at_its_end_takes_no_time() -> None:
    values = bench(TELESCOPE, LINES, "C1 at end stop, C1 at 2400 mm")["C1"].values
    assert math.isnan(values["time"])
    assert (values["speed"], values["power"]) == (0.0, 0.0)


def test_stages_of_their_own_stroke() -> None:
    own = f"{TELESCOPE}, first stroke 1000 mm, second stroke 800 mm, third stroke 600 mm"
    assert bench(own, LINES, "C1 load 1 kN, C1 at 950 mm")["C1"].values["stage"] == 1
    assert bench(own, LINES, "C1 load 1 kN, C1 at 1850 mm")["C1"].values["stage"] == 3


DOUBLE = "double acting, first rod 110 mm, second rod 85 mm, third rod 60 mm"


def test_double_acting_pulls_with_the_ring_of_the_moving_stage() -> None:
    parts = TELESCOPE.replace("C1 telescopic cylinder", f"C1 telescopic cylinder, {DOUBLE}")
    lines = LINES.replace("C1 cap", "C1 rod") + "\nfrom C1 cap to TT"
    point = bench(parts, lines, "C1 load 5 kN, C1 at 2000 mm")
    ring = circle(0.070) - circle(0.060)
    assert point["C1"].values["speed"] == pytest.approx(-10 * L_MIN / ring, rel=2e-3)
    assert point["C1"].ports["rod"].pressure == pytest.approx(5e3 / ring, rel=5e-3)


@pytest.mark.parametrize(
    ("said", "part_of"),
    [
        ("first stage 80 mm, second stage 90 mm, stroke 1 m", "does not fit into"),
        ("first stage 80 mm, second stage 60 mm, fourth stage 30 mm, stroke 1 m", "no third"),
        ("first stage 80 mm, second stage 60 mm, stroke 1 m, double acting", "needs 'first rod'"),
        ("first stage 80 mm, second stage 60 mm, stroke 1 m, first stroke 1 m", "not of all"),
        (
            "first stage 80 mm, second stage 60 mm, stroke 1 m, first stroke 1 m, "
            "second stroke 1 m",
            "come out 2000 mm in all",
        ),
        ("first stage 80 mm, stroke 1 m", "second stage"),
    ],
)
def test_telescopes_that_cannot_be_are_refused(said: str, part_of: str) -> None:
    assert any(part_of in message for message in refusals(f"C1 telescopic cylinder, {said}"))


@settings(max_examples=25, deadline=None)
@given(
    wide=st.floats(60, 400), share=st.floats(0.3, 0.95), place=st.floats(0, 2000),
    load=st.floats(0, 400), pressure=st.floats(0, 300), efficiency=st.floats(30, 100),
)  # fmt: skip
def test_telescope_balances_oil_and_power(
    wide: float, share: float, place: float, load: float, pressure: float, efficiency: float
) -> None:
    said = f"first stage {wide!r} mm, second stage {wide * share!r} mm, stroke 2 m,"
    parts = f"{sources(TA=pressure)}\nTH1 throttle, 20 L/min at 10 bar\nC1 telescopic cylinder,"
    parts += f" {said} efficiency {efficiency!r} %"
    lines = "from TA to TH1 in\nfrom TH1 out to C1 cap"
    point = bench(parts, lines, f"C1 load {load!r} kN, C1 at {place!r} mm")
    found = point["C1"].values
    assert point.power_error < 1e-6
    assert point.imbalance < 1e-9
    if point["C1"].state not in ("cavitates", "load runs away") and abs(found["speed"]) > 1e-4:
        q = point["C1"].ports["cap"].flow
        assert q == pytest.approx(found["area"] * found["speed"], rel=1e-6)


# ---- rotary actuators ----------------------------------------------------------------

TURN = "from TT to P1 S\nfrom P1 P to A1 A and R1 P\nfrom R1 T to TT\nfrom A1 B to TT"


def test_vane_actuator_turns_with_its_displacement() -> None:
    """q = D w, M = D dp eta."""
    said = "A1 rotary actuator, 600 cc/rev, efficiency 90 %, leak 0 L/min"
    point = bench(f"{PUMP}{said}", TURN, "A1 load 900 Nm, A1 travels 90 deg")
    full = 600e-6 / (2 * math.pi)
    found = point["A1"].values
    assert found["speed"] == pytest.approx(10 * L_MIN / full, rel=2e-3)
    assert found["drop"] == pytest.approx(900 / full / 0.9, rel=2e-3)
    assert found["time"] == pytest.approx(math.pi / 2 / found["speed"], rel=1e-9)
    assert point.duration == pytest.approx(found["time"])


def test_rack_turns_by_its_piston_and_pinion() -> None:
    said = "A1 rotary actuator, rack and pinion, bore 80 mm, pinion 100 mm, racks 2,"
    point = bench(f"{PUMP}{said} swing 180 deg, efficiency 100 %", TURN, "A1 load 500 Nm")
    full = 2 * circle(0.08) * 0.05
    assert point["A1"].values["drop"] == pytest.approx(500 / full, rel=2e-3)
    assert point["A1"].values["oil a stroke"] == pytest.approx(full * math.pi, rel=1e-9)


def test_vane_leaks_at_its_end_stop() -> None:
    parts = f"{sources(TA=200, TT=0)}\nA1 rotary actuator, 600 cc/rev, leak 0.3 L/min at 100 bar"
    point = bench(parts, "from TA to A1 A\nfrom A1 B to TT", "A1 at end stop")
    assert point["A1"].ports["A"].flow / L_MIN == pytest.approx(0.6, rel=1e-6)
    assert point["A1"].state == "at end stop"
    assert math.isnan(point["A1"].values["time"])
    assert [point["A1"].values[name] for name in ("speed", "power")] == [0.0, 0.0]
    assert point["A1"].values["drop"] == pytest.approx(200e5)


def test_a_moment_turns_it_back_and_a_brake_holds_it() -> None:
    said = "A1 rotary actuator, 600 cc/rev, moment 500 Nm, efficiency 90 %"
    parts = f"{sources(TA=0, TT=0)}\nTH1 throttle, 10 L/min at 50 bar\n{said}"
    lines = "from TA to TH1 in\nfrom TH1 out to A1 A\nfrom A1 B to TT"
    back = bench(parts, lines, "A1 load 0 Nm")
    assert back["A1"].state == "turning back"
    assert back["A1"].values["torque"] == pytest.approx(500, rel=2e-3)
    held = bench(f"{parts}\nB1 brake, 800 Nm, driven by A1", lines, "A1 load 0 Nm")
    assert held["B1"].state == "holding"


@pytest.mark.parametrize(
    ("said", "part_of"),
    [
        ("rotary actuator", "needs its displacement"),
        ("rotary actuator, rack and pinion, bore 50 mm", "needs 'pinion'"),
        ("rotary actuator, 500 cc/rev, bore 50 mm", "by its displacement and by"),
        ("rotary actuator, 500 cc/rev, efficiency 10 %", "efficiency"),
    ],
)
def test_actuators_that_cannot_be_are_refused(said: str, part_of: str) -> None:
    assert any(part_of in message for message in refusals(f"A1 {said}"))


@settings(max_examples=25, deadline=None)
@given(
    size=st.floats(1, 1e5), efficiency=st.floats(30, 100), leak=st.floats(0, 2),
    load=st.floats(0, 1e4), moment=st.floats(-1e4, 1e4), pressure=st.floats(0, 300),
)  # fmt: skip
def test_actuator_balances_oil_and_power(
    size: float, efficiency: float, leak: float, load: float, moment: float, pressure: float
) -> None:
    said = f"{size!r} cc/rev, efficiency {efficiency!r} %, leak {leak!r} L/min, moment {moment!r}"
    parts = f"{sources(TA=pressure, TT=0)}\nTH1 throttle, 20 L/min at 10 bar\n"
    parts += f"A1 rotary actuator, {said} Nm\nTH2 throttle, 20 L/min at 10 bar"
    lines = "from TA to TH1 in\nfrom TH1 out to A1 A\nfrom A1 B to TH2 in\nfrom TH2 out to TT"
    point = bench(parts, lines, f"A1 load {load!r} Nm")
    assert point.power_error < 1e-6
    assert point.imbalance < 1e-9
    assert point["A1"].values["heat"] >= -1e-6
    # a chamber at the floor takes in oil that is missing, be it ever so little
    if min(port.pressure for port in point["A1"].ports.values()) > -0.85e5:
        total = point["A1"].ports["A"].flow + point["A1"].ports["B"].flow
        assert total == pytest.approx(0.0, abs=1e-9)
