"""Pumps, motors, cylinders, winches and their drives against closed forms."""

from __future__ import annotations

import math

import pytest

from tests.components.bench import BAR, L_MIN, bar, bench, flow, sources

TURN = 2 * math.pi
PUMP = "from TT to P1 S\nfrom P1 P to TP"


def pump(
    said: str, front: float, more: str = "", lines: str = PUMP, step: str = "", **oil: str
) -> dict[str, float]:
    point = bench(f"{sources(TT=0, TP=front)}\nP1 pump, {said}{more}", lines, step, **oil)
    return point["P1"].values


@pytest.mark.parametrize("construction", ["gear", "vane", "axial piston", "bent axis"])
def test_efficiencies_of_a_pump_hold_at_their_test_point(construction: str) -> None:
    lines = PUMP if construction in ("gear", "vane") else f"{PUMP}\nfrom P1 L to TT"
    said = f"fixed, {construction}, 40 cc/rev, 1500 rpm, volumetric 93 %, mechanical 91 %,"
    found = pump(f"{said} test pressure 220 bar", 220, lines=lines)
    assert found["flow"] / L_MIN == pytest.approx(60 * 0.93, rel=1e-6)
    assert found["torque"] == pytest.approx(40e-6 * 220 * BAR / TURN / 0.91, rel=1e-4)
    assert found["efficiency"] == pytest.approx(0.93 * 0.91, rel=1e-4)


@pytest.mark.parametrize(("front", "nu"), [(110, 32), (220, 64), (55, 16)])
def test_slip_of_a_pump_goes_with_pressure_and_against_viscosity(front: float, nu: float) -> None:
    said = "fixed, 40 cc/rev, 1500 rpm, volumetric 93 %, test pressure 220 bar"
    found = pump(said, front, oil=f"{nu} cSt at 50 degC, 870 kg/m3")
    slip = 60 * 0.07 * front / 220 * 32 / nu
    assert found["flow"] / L_MIN == pytest.approx(60 - slip, rel=1e-6)


def test_case_drain_is_what_the_sound_pump_has() -> None:
    said = "variable, 40 cc/rev, 1500 rpm, volumetric 93 %, test pressure 220 bar,"
    found = pump(f"{said} case drain 2 L/min at 200 bar", 100, lines=f"{PUMP}\nfrom P1 L to TT")
    assert found["case drain"] / L_MIN == pytest.approx(1.0, rel=1e-6)
    assert found["flow"] / L_MIN == pytest.approx(60 - 60 * 0.07 * 100 / 220, rel=1e-6)


VARIABLE = "50 cc/rev, 1500 rpm, volumetric 100 %, mechanical 100 %"
DRAINED = f"{PUMP}\nfrom P1 L to TT"


@pytest.mark.parametrize(("front", "stroke"), [(100, 1.0), (247, 3 / 7), (250, 0.0), (252, 0.0)])
def test_compensator_destrokes_over_its_band(front: float, stroke: float) -> None:
    said = f"pressure compensated, {VARIABLE}, compensator 250 bar, compensator band 7 bar"
    assert pump(said, front, lines=DRAINED)["stroke"] == pytest.approx(stroke, abs=0.006)


@pytest.mark.parametrize(("load", "stroke"), [(79, 1 / 3), (70, 0.0), (98, 1.0)])
def test_load_sensing_pump_stands_its_margin_over_the_load(load: float, stroke: float) -> None:
    parts = f"{sources(TT=0, TP=98, TX=load)}\nP1 pump, load sensing, {VARIABLE}, margin 20 bar"
    point = bench(parts, f"{DRAINED}\nfrom TX to P1 X")
    assert point["P1"].values["stroke"] == pytest.approx(stroke, abs=0.006)


@pytest.mark.parametrize("limit", ["torque limit 100 Nm", "power limit 15.708 kW"])
def test_torque_and_power_limit_are_the_same_at_one_speed(limit: str) -> None:
    """100 Nm at 1500 rpm are 15.708 kW; beyond, pressure times displacement is constant."""
    for front in (150, 250, 350):
        found = pump(f"variable, {VARIABLE}, {limit}", front, lines=DRAINED)
        assert found["torque"] == pytest.approx(100, rel=2e-3)
    free = pump(f"variable, {VARIABLE}, {limit}", 100, lines=DRAINED)
    assert free["torque"] == pytest.approx(50e-6 * 100 * BAR / TURN, rel=1e-6)


def test_stroke_of_a_variable_pump_is_ordered_by_a_step() -> None:
    found = pump(f"variable, {VARIABLE}", 100, lines=DRAINED, step="P1 at 40 %")
    assert found["flow"] / L_MIN == pytest.approx(0.4 * 75, rel=1e-6)


def test_drive_gives_the_speed_and_takes_the_torque() -> None:
    parts = sources(TT=0, TP=160) + "\nE1 electric motor, 11 kW, 1450 rpm\n"
    parts += "P1 pump, fixed, 20 cc/rev, driven by E1, volumetric 100 %, mechanical 100 %\n"
    parts += "P2 pump, fixed, 10 cc/rev, driven by E1, volumetric 100 %, mechanical 100 %"
    lines = "from TT to P1 S and P2 S\nfrom P1 P and P2 P to TP"
    point = bench(parts, lines)
    assert point["E1"].values["torque"] == pytest.approx(30e-6 * 160 * BAR / TURN, rel=1e-6)
    assert point["P1"].values["flow"] / L_MIN == pytest.approx(29.0, rel=1e-9)
    slower = bench(parts, lines, "E1 at 1000 rpm")
    assert slower["P1"].values["flow"] / L_MIN == pytest.approx(20.0, rel=1e-9)


def test_droop_of_a_drive_is_in_proportion_to_its_torque() -> None:
    """No load: 3 % over the rated speed; rated torque: the rated speed."""
    torque = 20e-6 * 160 * BAR / TURN
    power = torque * 1500 * TURN / 60 / 1000
    parts = sources(TT=0, TP=160) + f"\nE1 engine, {power!r} kW, 1500 rpm, droop 3 %\n"
    parts += "P1 pump, fixed, 20 cc/rev, driven by E1, volumetric 100 %, mechanical 100 %"
    point = bench(parts, PUMP)
    assert point["E1"].values["speed"] == pytest.approx(1500 * TURN / 60, rel=1e-9)
    idle = bench(parts.replace("TP tank, 100 L, gas 160", "TP tank, 100 L, gas 0"), PUMP)
    assert idle["E1"].values["speed"] == pytest.approx(1545 * TURN / 60, rel=1e-9)


# ---- motors --------------------------------------------------------------------------

IDEAL_PUMP = "P1 pump, fixed, 50 cc/rev, 1000 rpm, volumetric 100 %, mechanical 100 %"
MOTOR_LINES = "from TT to P1 S\nfrom P1 P to M1 A and R1 P\nfrom M1 B and M1 L and R1 T to TT"


def test_efficiencies_of_a_motor_hold_at_their_test_point() -> None:
    """50 L/min and 200 bar; 93 % of the flow turns it, 91 % of the torque comes out."""
    torque = 40e-6 * 200 * BAR / TURN * 0.91
    speed = 50e-3 * 0.93 / 40e-6
    parts = f"{sources(TT=0)}\n{IDEAL_PUMP}\nR1 relief, set 300 bar\nM1 motor, 40 cc/rev,"
    parts += f" volumetric 93 %, mechanical 91 %, test pressure 200 bar, speed {speed!r} rpm"
    found = bench(parts, MOTOR_LINES, f"M1 load {torque!r} Nm")["M1"].values
    assert found["drop"] / BAR == pytest.approx(200, rel=1e-3)
    assert found["speed"] * 60 / TURN == pytest.approx(speed, rel=1e-3)


def test_load_that_drives_a_motor_turns_it_with_back_pressure() -> None:
    """20 Nm drive the motor; the throttle behind it holds what it takes."""
    parts = f"{sources(TT=0)}\n{IDEAL_PUMP}\nR1 relief, set 300 bar\nTH1 throttle, 50 L/min"
    parts += " at 80 bar\nM1 motor, 40 cc/rev, volumetric 100 %, mechanical 100 %, gear"
    lines = "from TT to P1 S\nfrom P1 P to M1 A and R1 P\nfrom M1 B to TH1 in\n"
    lines += "from TH1 out and R1 T to TT"
    point = bench(parts, lines, "M1 load -20 Nm")
    assert point["M1"].values["drop"] == pytest.approx(-20 * TURN / 40e-6, rel=1e-3)
    assert point["M1"].values["power"] < 0.0


def test_held_motor_gives_its_breakaway_torque() -> None:
    parts = f"{sources(TA=200, TT=0)}\nM1 motor, gear, 40 cc/rev, mechanical 100 %"
    point = bench(parts, "from TA to M1 A\nfrom M1 B to TT", "M1 at standstill")
    assert point["M1"].state == "at standstill"
    assert point["M1"].values["torque"] == pytest.approx(40e-6 * 200 * BAR / TURN, rel=1e-6)


@pytest.mark.parametrize("layer", [1, 2, 3])
def test_rope_radius_and_pull_by_layer(layer: int) -> None:
    """Radius of a layer = (drum + (2 k - 1) rope)/2."""
    parts = f"{sources(TT=0)}\n{IDEAL_PUMP}\nR1 relief, set 300 bar\n"
    parts += "M1 motor, axial piston, 100 cc/rev, volumetric 100 %, mechanical 100 %\n"
    parts += "W1 winch, driven by M1, ratio 20, gear 80 %, drum 250 mm, rope 12 mm, layers 3"
    point = bench(parts, MOTOR_LINES, f"W1 load 10 kN, W1 layer {layer}")
    radius = 0.5 * (0.25 + (2 * layer - 1) * 0.012)
    assert point["W1"].values["radius"] == pytest.approx(radius)
    torque = 10e3 * radius / 20 / 0.8
    assert point["M1"].values["torque"] == pytest.approx(torque, rel=1e-6)
    speed = 500 * TURN / 60 * radius / 20
    assert point["W1"].values["speed"] == pytest.approx(speed, rel=1e-5)


# ---- cylinders -----------------------------------------------------------------------

BORE, ROD = math.pi / 4 * 0.08**2, math.pi / 4 * 0.045**2


def cylinder(said: str, step: str, ends: str = "from P1 P to C1 cap") -> tuple[float, float, float]:
    """Speed [m/s], cap and rod pressure [bar] of a cylinder fed with 50 L/min."""
    parts = f"{sources(TT=0)}\n{IDEAL_PUMP}\nR1 relief, set 300 bar\nC1 cylinder, {said},"
    lines = f"from TT to P1 S\nfrom P1 P to R1 P\n{ends}\nfrom R1 T to TT"
    point = bench(f"{parts} stroke 500 mm", lines, step)
    ports = point["C1"].ports
    rod = bar(point, "C1", "rod") if "rod" in ports else 0.0
    return point["C1"].values["speed"], bar(point, "C1", "cap"), rod


OUT = "from P1 P to C1 cap\nfrom C1 rod to TT"
IN = "from P1 P to C1 rod\nfrom C1 cap to TT"
FEED = 50 * L_MIN


@pytest.mark.parametrize(
    ("said", "ends", "push", "area"),
    [
        ("bore 80 mm, rod 45 mm", OUT, BORE, BORE),
        ("bore 80 mm, rod 45 mm", IN, BORE - ROD, -(BORE - ROD)),
        ("double rod, bore 80 mm, rod 45 mm", OUT, BORE - ROD, BORE - ROD),
        ("single acting, bore 80 mm", "from P1 P to C1 cap", BORE, BORE),
        ("plunger, rod 45 mm", "from P1 P to C1 cap", ROD, ROD),
    ],
)
def test_areas_of_a_cylinder(said: str, ends: str, push: float, area: float) -> None:
    speed, cap, rod = cylinder(f"{said}, efficiency 100 %", "C1 load 20 kN", ends)
    assert speed == pytest.approx(FEED / area, rel=1e-5)  # the relief leaks
    assert max(cap, rod) == pytest.approx(20e3 / push / BAR, rel=2e-3)


@pytest.mark.parametrize("share", [0.9, 0.95])
def test_efficiency_is_the_force_left_after_friction(share: float) -> None:
    said = f"single acting, bore 80 mm, efficiency {100 * share:g} %"
    assert cylinder(said, "C1 load 20 kN")[1] == pytest.approx(20e3 / BORE / share / BAR, rel=1e-3)


@pytest.mark.parametrize(
    ("said", "step", "force"),
    [
        ("weight 12 kN", "C1 load 8 kN", 20e3),
        ("weight 12 kN", "C1 load 8 kN, C1 weight 5 kN", 13e3),
        ("spring 3 kN", "C1 load 8 kN", 11e3),
        ("hanging, weight 2 kN", "C1 load 8 kN", 6e3),
    ],
)
def test_weight_and_spring_add_to_the_load(said: str, step: str, force: float) -> None:
    found = cylinder(f"single acting, bore 80 mm, efficiency 100 %, {said}", step)[1]
    assert found == pytest.approx(force / BORE / BAR, rel=3e-3)


def test_seal_leak_passes_the_piston() -> None:
    parts = f"{sources(TA=200, TT=0)}\nC1 cylinder, bore 80 mm, rod 45 mm, stroke 500 mm,"
    parts += " seal leak 0.3 L/min at 100 bar"
    point = bench(parts, "from TA to C1 cap\nfrom C1 rod to TT", "C1 at end stop")
    assert flow(point, "C1", "cap") == pytest.approx(0.6, rel=1e-6)
    assert flow(point, "C1", "rod") == pytest.approx(-0.6, rel=1e-6)


def test_blocked_rod_side_multiplies_pressure_by_the_area_ratio() -> None:
    """The usual accident of meter-out: cap pressure times 1.46 for 80/45 mm."""
    parts = f"{sources(TA=200)}\nC1 cylinder, bore 80 mm, rod 45 mm, stroke 500 mm,"
    parts += " efficiency 100 %\nG1 gauge"
    point = bench(parts, "from TA to C1 cap\nfrom C1 rod to G1", "C1 load 0 kN")
    assert bar(point, "C1", "rod") == pytest.approx(200 * BORE / (BORE - ROD), rel=1e-6)


def test_motor_that_is_ordered_to_no_stroke_stands_with_nothing_to_hold_it() -> None:
    """No load, no slip, no stroke: no torque at all decides its speed but its drag."""
    parts = f"{sources(TA=0, TT=0)}\nTH1 throttle, 20 L/min at 10 bar\n"
    parts += "M1 motor, variable, 10 cc/rev, constant efficiency"
    point = bench(parts, "from TA to TH1 in\nfrom TH1 out to M1 A\nfrom M1 B to TT\n"
                  "from M1 L to TT", "M1 at 0 %")  # fmt: skip
    assert point["M1"].values["speed"] == 0.0
