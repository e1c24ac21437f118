"""Closed loop: over-centre pump, make-up, flushing, braking, wheels; against closed forms."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.pipeline import load
from circuitcheck.solver.operating import OperatingPoint
from tests.components.bench import L_MIN, bar, bench, flow, sources
from tests.components.refusals import refusals

TURN = 2 * math.pi
TRAVEL = Path(__file__).parents[1] / "language" / "circuits" / "5_travel.hyc"

IDEAL = "volumetric 100 %, mechanical 100 %"
LOOP = f"""{sources(TT=0)}
E1 engine, 60 kW, 2000 rpm
P1 pump, closed loop, both ways, 40 cc/rev, driven by E1, {IDEAL}
P2 pump, fixed, 10 cc/rev, driven by E1, {IDEAL}
M1 motor, axial piston, 100 cc/rev, {IDEAL}
R1 relief, set 20 bar, 20 L/min
R2 and R3 relief, set 350 bar, 80 L/min
CV1 and CV2 check, 0.3 bar"""
PIPED = """from P1 A to M1 A and CV1 out and R2 P and R3 T
from P1 B to M1 B and CV2 out and R3 P and R2 T
from TT to P2 S
from P2 P to R1 P and CV1 in and CV2 in
from R1 T and P1 L and P1 L1 and M1 L to TT"""


@pytest.mark.parametrize("stroke", [100, 40, -70])
def test_motor_of_a_loop_turns_by_the_displacements(stroke: float) -> None:
    """w_motor = x D_pump w_pump/D_motor, dp = M/D_motor, whichever way it turns."""
    point = bench(LOOP, PIPED, f"P1 at {stroke} %, M1 load 150 Nm")
    found = point["M1"].values
    assert found["speed"] * 60 / TURN == pytest.approx(stroke / 100 * 2000 * 0.4, rel=1e-3)
    dp = 150 * TURN / 100e-6
    assert found["drop"] == pytest.approx(math.copysign(dp, stroke), rel=1e-3)
    low = min(bar(point, "M1", "A"), bar(point, "M1", "B"))
    assert 18.0 < low < 20.1  # charge relief less the make-up check


def test_load_that_brakes_gives_its_power_back_to_the_engine() -> None:
    """Nothing is lost in ideal units: the shaft gets what the load brings."""
    point = bench(LOOP, PIPED, "P1 at 60 %, M1 load -150 Nm")
    brought = 150 * 0.6 * 2000 * 0.4 * TURN / 60
    assert point["P1"].values["power"] == pytest.approx(-brought, rel=2e-3)
    assert point["P1"].state == "driven by the load"
    assert point["M1"].state == "braking"
    assert bar(point, "M1", "B") > bar(point, "M1", "A") + 90
    assert point["E1"].values["power"] < 0.0
    assert point["E1"].state == "driven by the load"


def test_centred_pump_moves_nothing_and_holds_the_loop_charged() -> None:
    point = bench(LOOP, PIPED, "P1 at 0 %")
    assert point["P1"].state == "centred"
    assert point["P1"].values["flow"] == pytest.approx(0.0, abs=1e-9)
    for port in "AB":
        assert 18.0 < bar(point, "P1", port) < 20.1


def test_no_command_means_no_stroke() -> None:
    point = bench(LOOP, PIPED, "M1 load 100 Nm")
    assert point["P1"].values["stroke"] == 0.0
    assert point["M1"].values["speed"] == 0.0


def test_pump_of_one_way_does_not_go_over_centre() -> None:
    point = bench(LOOP.replace("both ways, ", ""), PIPED, "P1 at -50 %, M1 load 20 Nm")
    assert point["P1"].state == "cannot go over centre"
    assert point["P1"].values["stroke"] == 0.0


@pytest.mark.parametrize("stroke", [80, -80])
def test_override_takes_the_loop_back_at_the_higher_side(stroke: int) -> None:
    parts = LOOP.replace("both ways,", "both ways, compensator 250 bar, compensator band 10 bar,")
    point = bench(parts, PIPED, f"P1 at {stroke} %, M1 load 420 Nm")
    high = max(bar(point, "P1", "A"), bar(point, "P1", "B"))
    assert 240 < high < 250.3  # the corner is rounded by 2 % of the band
    assert point["M1"].values["speed"] == pytest.approx(0.0, abs=0.02)
    assert point["P1"].state == "on cut-off"


@pytest.mark.parametrize(("charge", "stroke"), [(3.0, 0.0), (10.0, 0.5), (20.0, 0.8)])
def test_pump_centred_by_charge_pressure(charge: float, stroke: float) -> None:
    """Strokes from 6 bar on, over 8 bar; the order stays the limit."""
    parts = sources(TA=30, TB=20, TX=charge, TT=0)
    parts += f"\nP1 pump, closed loop, charge centred, 40 cc/rev, 1500 rpm, {IDEAL}"
    lines = "from TA to P1 A\nfrom TB to P1 B\nfrom TX to P1 X\nfrom TT to P1 L"
    point = bench(parts, lines, "P1 at 80 %")
    assert point["P1"].values["stroke"] == pytest.approx(stroke, abs=0.006)


def test_case_ports_stand_at_one_pressure() -> None:
    parts = f"{sources(TA=200, TB=20, TT=0)}\nTH1 throttle, 10 L/min at 2 bar\n"
    parts += f"P1 pump, closed loop, 40 cc/rev, 1500 rpm, {IDEAL}\nP2 pump, fixed, 5 cc/rev,"
    parts += f" 2000 rpm, {IDEAL}"
    lines = "from TA to P1 A\nfrom TB to P1 B\nfrom TT to P2 S\nfrom P2 P to P1 L1\n"
    lines += "from P1 L to TH1 in\nfrom TH1 out to TT"
    point = bench(parts, lines, "P1 at 50 %")
    assert bar(point, "P1", "L1") == pytest.approx(bar(point, "P1", "L"), abs=0.1)
    assert point["P1"].values["case drain"] / L_MIN == pytest.approx(0.0, abs=0.01)


# ---- flushing valve ------------------------------------------------------------------


@pytest.mark.parametrize(("a", "b"), [(200, 20), (20, 200)])
def test_flushing_valve_lets_the_lower_side_out(a: float, b: float) -> None:
    """Rated 5 L/min at 2 bar: at 8 bar over the outlet 10 L/min, and the high side is shut."""
    parts = f"{sources(TA=a, TB=b, TT=12)}\nFV1 flushing valve 3/3, 5 L/min at 2 bar"
    point = bench(parts, "from TA to FV1 A\nfrom TB to FV1 B\nfrom FV1 T to TT")
    low, high = ("A", "B") if a < b else ("B", "A")
    assert flow(point, "FV1", low) == pytest.approx(10.0, rel=2e-3)
    assert flow(point, "FV1", high) == pytest.approx(0.0, abs=0.05)
    assert point["FV1"].state == f"lets {low} out"


def test_flushing_valve_is_centred_while_the_sides_are_alike() -> None:
    parts = f"{sources(TA=21, TB=20, TT=0)}\nFV1 flushing valve 3/3, 5 L/min"
    point = bench(parts, "from TA to FV1 A\nfrom TB to FV1 B\nfrom FV1 T to TT")
    assert point["FV1"].state == "centred"
    assert flow(point, "FV1", "T") == pytest.approx(0.0, abs=0.01)


def test_flushing_valve_of_other_ways_is_refused() -> None:
    assert refusals("FV1 flushing valve 4/3") == ["there is no flushing valve 4/3"]


def sound(point: OperatingPoint, part: str) -> None:
    """Flow and power of a part between ports: nothing is made, nothing vanishes."""
    ports = point[part].ports.values()
    size = max(abs(port.flow) for port in ports) + 1e-12
    assert abs(math.fsum(port.flow for port in ports)) <= 1e-9 * size + 1e-12
    power = point[part].values.get("power", 0.0)
    taken = math.fsum(port.flow * port.pressure for port in ports) + power
    scale = max(abs(power), max(abs(p.flow * p.pressure) for p in ports), 1.0)
    assert abs(taken - point[part].loss) <= 1e-6 * scale
    assert point[part].loss >= -1e-6 * scale


@settings(max_examples=40, deadline=None)
@given(st.floats(-0.5, 400), st.floats(-0.5, 400), st.floats(0, 50), st.floats(0.01, 1000))
def test_flushing_valve_conserves_oil_and_makes_no_power(
    a: float, b: float, out: float, rated: float
) -> None:
    parts = f"{sources(TA=a, TB=b, TT=out)}\nFV1 flushing valve 3/3, {rated!r} L/min"
    sound(bench(parts, "from TA to FV1 A\nfrom TB to FV1 B\nfrom FV1 T to TT"), "FV1")


@settings(max_examples=40, deadline=None)
@given(
    st.floats(0, 400),
    st.floats(0, 400),
    st.floats(-100, 100),
    st.floats(30, 100),
    st.floats(30, 100),
    st.floats(100, 4000),
)
def test_loop_pump_conserves_oil_and_makes_no_power(
    a: float, b: float, stroke: float, volumetric: float, mechanical: float, rpm: float
) -> None:
    """In all four quadrants, over the whole range of efficiencies."""
    parts = f"{sources(TA=a, TB=b, TT=0)}\nP1 pump, closed loop, both ways, 40 cc/rev, {rpm!r} rpm,"
    parts += f" volumetric {volumetric!r} %, mechanical {mechanical!r} %"
    lines = "from TA to P1 A\nfrom TB to P1 B\nfrom TT to P1 L"
    sound(bench(parts, lines, f"P1 at {stroke!r} %"), "P1")


# ---- wheel ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("step", "pull"),
    [
        ("W1 load 3 kN", 3.0),
        ("W1 load 0 kN", 1.5),
        ("W1 grade 30 %", 1.5 + 30 * 0.3 / math.hypot(1, 0.3)),
        ("W1 weight 60 kN", 3.0),
    ],
)
def test_wheel_pulls_load_rolling_and_slope(step: str, pull: float) -> None:
    """Pull = load + rolling x weight + weight x sine of the slope; torque by radius and gear."""
    parts = f"{LOOP}\nW1 wheel, driven by M1, radius 400 mm, ratio 20, gear 90 %,"
    parts += " weight 30 kN, rolling 5 %"
    point = bench(parts, PIPED, f"P1 at 50 %, {step}")
    load = pull + (1.5 if step.startswith("W1 load 3") else 0.0)
    torque = load * 1e3 * 0.4 / 20 / 0.9
    assert point["M1"].values["torque"] == pytest.approx(torque, rel=1e-4)
    assert point["W1"].values["force"] == pytest.approx(load * 1e3, rel=1e-4)
    speed = point["M1"].values["speed"] * 0.4 / 20
    assert point["W1"].values["speed"] == pytest.approx(speed)
    assert point["W1"].state == "rolling"


def test_wheel_downhill_drives_the_motor_through_its_gear() -> None:
    """What drives comes through the gear with its loss, once."""
    parts = f"{LOOP}\nW1 wheel, driven by M1, radius 400 mm, ratio 20, gear 90 %, weight 30 kN"
    point = bench(parts, PIPED, "P1 at 50 %, W1 grade -40 %")
    push = 30e3 * 0.4 / math.hypot(1, 0.4)
    assert point["M1"].values["torque"] == pytest.approx(-push * 0.4 / 20 * 0.9, rel=1e-4)


def test_wheel_spins_beyond_its_grip() -> None:
    parts = f"{LOOP}\nW1 wheel, driven by M1, radius 400 mm, ratio 20, weight 10 kN, grip 60 %"
    assert bench(parts, PIPED, "P1 at 50 %, W1 load 7 kN")["W1"].state == "spins"
    assert bench(parts, PIPED, "P1 at 50 %, W1 load 5 kN")["W1"].state == "rolling"


# ---- the whole drive -----------------------------------------------------------------


def test_travel_drive_is_solved_in_every_step_with_its_low_side_charged() -> None:
    """The low side stands between flushing and charge relief, whichever side it is."""
    solution = load(TRAVEL).solve()
    assert solution.solved
    assert [p.step.name for p in solution] == ["parked", "row", "headland", "bank", "downhill"]
    for point in solution:
        low = min(bar(point, "P1", "A"), bar(point, "P1", "B"))
        assert 19.0 < low < 22.5, point.step.name
        assert point.power_error < 1e-6
    bank = solution.step("bank")
    high = bar(bank, "M1", "A") - bar(bank, "M1", "B")
    # 1000 Nm of 315 cc/rev: 199.5 bar ideal, and the lost torque of 90 % at 350 bar
    assert 199.5 < high < 199.5 / 0.9
    down = solution.step("downhill")
    assert bar(down, "M1", "B") > bar(down, "M1", "A") + 40
    assert down["E1"].values["power"] < 0.0
    assert down["FV1"].state == "lets A out"
    wheel, motor = solution.step("headland")["WH1"], solution.step("headland")["M1"]
    assert wheel.values["speed"] == pytest.approx(0.35 * motor.values["speed"])
