"""Loss models and geometry of pumps and motors: closed forms, published and worked values."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.components import kinds
from circuitcheck.components._parts import Parameter
from circuitcheck.components._rotary import CONSTRUCTIONS
from tests.components.bench import BAR, L_MIN, bench, sources
from tests.components.ranges import every, outside
from tests.components.refusals import refusals
from tests.components.test_closed_loop import sound

TURN = 2 * math.pi
NU, RHO = 32e-6, 870.0
MU = NU * RHO
PUMP = "from TT to P1 S\nfrom P1 P to TP"
DRAINED = f"{PUMP}\nfrom P1 L to TT"


def pump(said: str, front: float, lines: str = DRAINED, **oil: str) -> dict[str, float]:
    return bench(f"{sources(TT=0, TP=front)}\nP1 pump, {said}", lines, **oil)["P1"].values


# ---- displacement from dimensions ----------------------------------------------------


@pytest.mark.parametrize(
    ("said", "cc"),
    [
        # check value 1 of the textbook forms: 44.47 cc
        ("axial piston, pistons 9, piston diameter 17 mm, pitch circle 67 mm, swash angle 18 deg",
         9 * math.pi / 4 * 1.7**2 * 6.7 * math.tan(math.radians(18))),
        ("bent axis, pistons 7, piston diameter 20 mm, pitch circle 60 mm, swash angle 40 deg",
         7 * math.pi / 4 * 2**2 * 6 * math.sin(math.radians(40))),
        ("radial piston, pistons 5, piston diameter 12 mm, offset 4 mm",
         5 * math.pi / 4 * 1.2**2 * 0.8),
        ("radial piston, pistons 5, piston diameter 12 mm, piston stroke 8 mm",
         5 * math.pi / 4 * 1.2**2 * 0.8),
        ("radial piston, pistons 8, piston diameter 12 mm, piston stroke 3 mm, lobes 6",
         8 * math.pi / 4 * 1.2**2 * 0.3 * 6),
    ],
)  # fmt: skip
def test_displacement_from_dimensions(said: str, cc: float) -> None:
    found = pump(f"fixed, {said}, 1000 rpm, volumetric 100 %", 50)
    assert found["flow"] / L_MIN == pytest.approx(cc, rel=1e-5)


def test_vanes_and_gears_by_their_dimensions() -> None:
    vane = "fixed, vane, ring 60 mm, offset 4 mm, width 20 mm, 1000 rpm, volumetric 100 %"
    assert pump(vane, 50, PUMP)["flow"] / L_MIN == pytest.approx(TURN * 6 * 0.4 * 2, rel=1e-6)


def test_published_piston_and_gear_pump_from_their_dimensions() -> None:
    """WE-10 and WE-11: FPA examples 5-7 (0.55 L/s) and 5-2 (0.0552 m3/min)."""
    said = "axial piston, fixed, pistons 9, piston diameter 15 mm, pitch circle 125 mm,"
    said += " swash angle 10 deg, 1000 rpm, volumetric 94 %, test pressure 100 bar"
    assert pump(said, 100)["flow"] * 1e3 == pytest.approx(0.55, rel=2e-3)
    said = "gear, fixed, gear outer 75 mm, gear inner 50 mm, width 25 mm, 1000 rpm,"
    said += " volumetric 90 %, test pressure 100 bar"
    assert pump(said, 100, PUMP)["flow"] * 60 == pytest.approx(0.0552, rel=2e-3)


# ---- constant efficiency -------------------------------------------------------------


@pytest.mark.parametrize("front", [40, 100, 250])
def test_constant_efficiency_holds_at_every_pressure(front: float) -> None:
    said = "fixed, 40 cc/rev, 1500 rpm, constant efficiency, volumetric 90 %, mechanical 88 %"
    found = pump(said, front, PUMP)
    assert found["flow"] / L_MIN == pytest.approx(54, rel=1e-6)
    assert found["torque"] == pytest.approx(40e-6 * front * BAR / TURN / 0.88, rel=1e-6)
    assert found["efficiency"] == pytest.approx(0.9 * 0.88, rel=1e-6)


def test_constant_efficiency_of_a_motor_that_is_driven() -> None:
    """A driven motor pumps: q = ev D w, M = D dp/em at its shaft."""
    parts = f"{sources(TT=0)}\nR1 relief, set 300 bar\nTH1 throttle, 50 L/min at 80 bar\n"
    parts += "P1 pump, fixed, 50 cc/rev, 1000 rpm, volumetric 100 %, mechanical 100 %\n"
    parts += "M1 motor, gear, 40 cc/rev, constant efficiency, volumetric 90 %, mechanical 80 %"
    lines = "from TT to P1 S\nfrom P1 P to M1 A and R1 P\nfrom M1 B to TH1 in\n"
    lines += "from TH1 out and R1 T to TT"
    found = bench(parts, lines, "M1 load -20 Nm")["M1"].values
    assert found["drop"] == pytest.approx(-20 * 0.8 * TURN / 40e-6, rel=2e-3)
    assert found["speed"] == pytest.approx(50e-6 * 1000 / 60 * TURN / 0.9 / 40e-6, rel=1e-3)


# ---- coefficients --------------------------------------------------------------------


@pytest.mark.parametrize("nu", [16, 32, 64])
def test_slip_drag_and_friction_by_coefficients(nu: float) -> None:
    """q_slip = C_s D dp/mu, M_loss = C_v D mu w + C_f D dp + M_c (Wilson 1949)."""
    said = "fixed, gear, 40 cc/rev, 1500 rpm, slip coefficient 2e-8, drag coefficient 1.2e5,"
    said += " friction coefficient 0.05, constant torque 2 Nm"
    found = pump(said, 200, PUMP, oil=f"{nu} cSt at 50 degC, 870 kg/m3")
    full, mu, w = 40e-6 / TURN, nu * 1e-6 * RHO, 1500 * TURN / 60
    slip = 2e-8 * full * 200 * BAR / mu
    assert found["flow"] == pytest.approx(full * w - slip, rel=1e-6)
    lost = 1.2e5 * full * mu * w + 0.05 * full * 200 * BAR + 2
    assert found["torque"] == pytest.approx(full * 200 * BAR + lost, rel=1e-6)


def test_turbulent_slip_goes_with_the_root_of_pressure() -> None:
    said = "fixed, gear, 40 cc/rev, 1500 rpm, slip coefficient 0, turbulent slip coefficient 1e-3"
    full = 40e-6 / TURN
    for front in (50, 200):
        slip = 1e-3 * full ** (2 / 3) * math.sqrt(2 * front * BAR / RHO)
        found = pump(said, front, PUMP)["flow"]
        assert found == pytest.approx(60 * L_MIN - slip, rel=1e-6)


@pytest.mark.parametrize("front", [50, 200])
def test_turbulent_slip_of_a_motor_that_stands(front: float) -> None:
    said = "gear, 40 cc/rev, slip coefficient 0, turbulent slip coefficient 1e-3"
    tanks = sources(TA=front, TB=0)
    point = bench(f"{tanks}\nM1 motor, {said}", "from TA to M1 A\nfrom M1 B to TB", "M1 load 5 kNm")
    slip = 1e-3 * (40e-6 / TURN) ** (2 / 3) * math.sqrt(2 * front * BAR / RHO)
    assert point["M1"].values["flow"] == pytest.approx(slip, rel=1e-3)


def test_lost_torque_of_an_efficiency_grows_with_viscosity() -> None:
    """Its drag goes with viscosity, the rest does not: even steps of viscosity, even steps up."""
    said = "fixed, gear, 40 cc/rev, 1500 rpm, mechanical 85 %, volumetric 100 %"
    torques = [
        pump(said, 100, PUMP, oil=f"{nu} cSt at 50 degC, 870 kg/m3")["torque"]
        for nu in (32, 64, 96)
    ]
    first, second = torques[1] - torques[0], torques[2] - torques[1]
    assert first > 0.5
    assert second == pytest.approx(first, rel=1e-6)


def test_a_motor_tells_what_it_is_set_to() -> None:
    said = "variable, axial piston, 40 cc/rev, volumetric 100 %"
    lines = "from TA to TH1 in\nfrom TH1 out to M1 A\nfrom M1 B and M1 L to TB"
    tanks = f"{sources(TA=100, TB=0)}\nTH1 throttle, 20 L/min at 20 bar"
    values = bench(f"{tanks}\nM1 motor, {said}", lines, "M1 at 60 %, M1 load 5 Nm")["M1"].values
    assert values["displacement"] == pytest.approx(24e-6, rel=1e-9)
    assert "outside table" not in values


def test_one_coefficient_brings_the_usual_others() -> None:
    """Of the construction's table: C_s 1.9e-8, C_f 0.067 for gears."""
    given_ = pump("fixed, gear, 40 cc/rev, 1500 rpm, drag coefficient 0", 200, PUMP)
    full = 40e-6 / TURN
    slip = 1.9e-8 * full * 200 * BAR / MU
    assert given_["flow"] == pytest.approx(full * 1500 * TURN / 60 - slip, rel=1e-6)
    assert given_["torque"] == pytest.approx(1.067 * full * 200 * BAR, rel=1e-6)


@pytest.mark.parametrize("word", ["gerotor", "screw", "orbital", "internal gear", "radial piston"])
def test_usual_losses_of_a_construction_are_its_efficiencies_at_its_rated_point(word: str) -> None:
    """Coefficients and efficiencies of the table say the same at its test point.

    The coefficients are rounded to two figures and hold at 0.027 Pa s.
    """
    kind = CONSTRUCTIONS[word]
    front, rpm = kind.rated / BAR, kind.speed * 60 / TURN
    lines = DRAINED if kind.to_case else PUMP
    oil = f"{0.027 / 870 * 1e6!r} cSt at 50 degC, 870 kg/m3"
    said = f"fixed, {word}, 40 cc/rev, {rpm!r} rpm"
    losses = f"slip coefficient {kind.slip!r}, constant torque"
    losses += f" {kind.constant * 40e-6 / TURN * kind.rated!r} Nm"
    usual, by = (pump(said + more, front, lines, oil=oil) for more in ("", f", {losses}"))
    assert usual["flow"] == pytest.approx(40e-6 / TURN * kind.speed * kind.volumetric, rel=0.01)
    assert by["flow"] == pytest.approx(usual["flow"], rel=0.01)
    assert by["torque"] == pytest.approx(usual["torque"], rel=0.01)


# ---- clearances ----------------------------------------------------------------------


def leak(said: str, front: float, mu: float = 0.027, back: float = 0.0) -> float:
    """Case flow [L/min] of a pump of given clearances, no stroke."""
    parts = f"{sources(TT=back, TP=front)}\nP1 pump, variable, 40 cc/rev, 1500 rpm, {said}"
    oil = f"{mu / 870 * 1e6!r} cSt at 50 degC, 870 kg/m3"
    point = bench(parts, DRAINED, "P1 at 0 %", oil=oil)
    return point["P1"].values["case drain"] / L_MIN


PISTON = "pistons 2, piston diameter 17 mm, piston seal 25 mm, piston gap 10 um"
PAD = "pistons 2, slipper gap 8 um, slipper outer 30 mm, slipper inner 20 mm"
PLATE = "plate gap 8 um, inner land from 22 mm, inner land to 26 mm, outer land from 30 mm,"
PLATE += " outer land to 34 mm"


@pytest.mark.parametrize(
    ("said", "worked"),
    [
        (PISTON, 0.0099),
        (f"{PISTON}, piston eccentricity 100 %", 0.0247),
        (PAD, 0.037),
        (PLATE, 0.083),
    ],
)
def test_worked_leakages_of_single_gaps(said: str, worked: float) -> None:
    """At 250 bar and 0.027 Pa s; two pistons, of which one is under pressure."""
    assert leak(said, 250) == pytest.approx(worked, rel=0.012)


def test_published_leak_past_a_piston() -> None:
    """WE-31: 57.6 mm3/s; IFM example 8.1: 25 mm, 5 um, 15 mm, 200 to 10 bar, 0.018 Pa s."""
    said = "pistons 2, piston diameter 25 mm, piston seal 15 mm, piston gap 5 um"
    found = leak(said, 200, 0.018, back=10)
    assert found * L_MIN * 1e9 == pytest.approx(57.6, rel=1e-3)


def test_double_gaps_leak_eight_times_and_wear_is_the_gap() -> None:
    all_gaps = f"{PISTON}, {PAD.removeprefix('pistons 2, ')}, {PLATE}".replace("s 2,", "s 9,")
    new = leak(all_gaps, 250)
    assert leak(f"{all_gaps}, wear 2", 250) == pytest.approx(8 * new, rel=1e-6)
    double = all_gaps.replace("10 um", "20 um").replace("8 um", "16 um")
    assert leak(double, 250) == pytest.approx(8 * new, rel=1e-6)
    assert leak(f"{all_gaps}, wear 1.26", 250) == pytest.approx(2 * new, rel=2e-3)


def test_wear_of_a_pump_with_efficiencies_is_the_cube_too() -> None:
    said = "fixed, gear, 40 cc/rev, 1500 rpm, volumetric 95 %, test pressure 200 bar"
    slip = 60 - pump(said, 200, PUMP)["flow"] / L_MIN
    worn = 60 - pump(f"{said}, wear 1.5", 200, PUMP)["flow"] / L_MIN
    assert worn == pytest.approx(slip * 1.5**3, rel=1e-6)


# ---- variable motors -----------------------------------------------------------------

LINES = "from TT to P1 S\nfrom P1 P to M1 A and R1 P\nfrom M1 B and M1 L and R1 T to TT"


@pytest.mark.parametrize(("order", "stands"), [(100, 100), (50, 50), (10, 30)])
def test_variable_motor_turns_faster_at_less_displacement(order: float, stands: float) -> None:
    """w = q/(x D), M = x D dp; not under its least displacement."""
    parts = f"{sources(TT=0)}\nR1 relief, set 350 bar\n"
    parts += "P1 pump, fixed, 50 cc/rev, 1000 rpm, volumetric 100 %, mechanical 100 %\n"
    parts += "M1 motor, variable, axial piston, 80 cc/rev, volumetric 100 %, mechanical 100 %,"
    parts += " least displacement 30 %"
    point = bench(parts, LINES, f"M1 at {order} %, M1 load 40 Nm")
    x = stands / 100
    speed = 50e-6 * 1000 / 60 * TURN / (80e-6 * x)
    assert point["M1"].values["speed"] == pytest.approx(speed, rel=1e-4)
    assert point["M1"].values["drop"] == pytest.approx(40 * TURN / (80e-6 * x), rel=2e-3)


# ---- conservation and refusal --------------------------------------------------------

MODELS = (
    "volumetric {a} %, mechanical {b} %",
    "constant efficiency, volumetric {a} %, mechanical {b} %",
    "slip coefficient {c}e-9, drag coefficient {d}, friction coefficient 0.{e}",
    "slip coefficient {c}e-9, turbulent slip coefficient 0.00{e}",
    "pistons 9, piston diameter 17 mm, piston seal 25 mm, piston gap {f} um, wear 1.{e}",
)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(MODELS),
    st.floats(-0.3, 300),
    st.floats(0, 400),
    st.floats(30, 100),
    st.floats(30, 100),
    st.floats(0.1, 200),
    st.floats(0, 1e6),
    st.integers(1, 9),
    st.floats(1, 100),
    st.floats(0, 100),
)
def test_every_loss_model_conserves_oil_and_makes_no_power(
    model: str, back: float, front: float, a: float, b: float, c: float, d: float, e: int,
    f: float, stroke: float,
) -> None:  # fmt: skip
    """Pumping and driven, whatever the figures: oil in is oil out, heat is what is missing."""
    said = model.format(a=a, b=b, c=c, d=d, e=e, f=f)
    parts = f"{sources(TS=back, TT=0, TP=front)}\nP1 pump, variable, 40 cc/rev, 1500 rpm, {said}"
    lines = "from TS to P1 S\nfrom P1 P to TP\nfrom P1 L to TT"
    point = bench(parts, lines, f"P1 at {stroke!r} %")
    sound(point, "P1")


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(MODELS),
    st.floats(0, 300),
    st.floats(-200, 200),
    st.floats(30, 100),
    st.floats(30, 100),
    st.floats(0.1, 200),
    st.integers(1, 9),
    st.floats(1, 60),
    st.floats(20, 100),
)
def test_every_loss_model_of_a_motor_conserves_oil_and_makes_no_power(
    model: str, back: float, load: float, a: float, b: float, c: float, e: int, f: float, x: float
) -> None:
    """Driving a load and driven by it: power of the oil is that of the load and heat."""
    said = model.format(a=a, b=b, c=c, d=1e5, e=e, f=f)
    parts = f"{sources(TT=0, TB=back)}\nR1 relief, set 300 bar, 60 L/min\n"
    parts += "P1 pump, fixed, 50 cc/rev, 1000 rpm, volumetric 100 %, mechanical 100 %\n"
    parts += "TH1 throttle, 50 L/min at 30 bar\n"
    parts += f"M1 motor, variable, axial piston, 40 cc/rev, {said}"
    lines = "from TT to P1 S\nfrom P1 P to M1 A and R1 P\nfrom M1 B to TH1 in\n"
    lines += "from TH1 out to TB\nfrom R1 T and M1 L to TT"
    point = bench(parts, lines, f"M1 at {x!r} %, M1 load {load!r} Nm")
    ports = point["M1"].ports.values()
    size = max(abs(port.flow) for port in ports)
    assert point.power_error < 1e-6
    if min(port.pressure for port in ports) < -0.85e5:
        return  # it goes empty: what is missing comes in by no port
    assert abs(math.fsum(port.flow for port in ports)) <= 1e-9 * size + 1e-12
    taken = math.fsum(port.flow * port.pressure for port in ports)
    scale = max(abs(port.flow * port.pressure) for port in ports) + 1.0
    power = point["M1"].values["torque"] * point.shafts["M1"].speed
    assert abs(taken - power - point["M1"].loss) <= 1e-5 * scale
    assert point["M1"].loss >= -1e-6 * scale


RANGES = {p.name: p for word in ("pump", "motor") for p in every(kinds()[word])}


@pytest.mark.parametrize("parameter", RANGES.values(), ids=lambda p: p.name)
def test_figures_out_of_their_physical_range_are_refused(parameter: Parameter) -> None:
    word = "pump" if kinds()["pump"].parameter(parameter.name) else "motor"
    for figure in outside(parameter):
        name = "" if parameter.name == "displacement" else f"{parameter.name} "
        found = refusals(f"P1 {word}, 40 cc/rev, variable, {name}{figure}")
        assert any(parameter.name in message for message in found), figure


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ("fixed, 1500 rpm", "needs 'displacement'"),
        ("axial piston, pistons 9, piston diameter 17 mm, 1500 rpm", "not complete"),
        ("radial piston, pistons 9, piston stroke 3 mm, 1500 rpm", "not complete"),
        ("radial piston, 9 cc/rev, piston stroke 3 mm, offset 1 mm", "stroke twice"),
        ("gear, gear outer 50 mm, gear inner 60 mm, width 10 mm, 1500 rpm", "not larger"),
        ("gear, 30 cc/rev, gear outer 75 mm, gear inner 50 mm, width 25 mm", "dimensions give"),
        ("40 cc/rev, constant efficiency, slip coefficient 2e-8", "constant efficiency"),
        ("40 cc/rev, volumetric 95 %, slip coefficient 2e-8", "slip twice"),
        ("40 cc/rev, mechanical 95 %, drag coefficient 1e5", "lost torque twice"),
        ("40 cc/rev, piston gap 10 um", "needs 'pistons' too"),
        ("40 cc/rev, plate gap 8 um, inner land from 26 mm, inner land to 22 mm,"
         " outer land from 30 mm, outer land to 34 mm", "not larger"),
        ("fixed, 40 cc/rev, compensator 250 bar", "is a fixed pump"),
        ("variable, 40 cc/rev, power sum, torque limit 100 Nm", "but with which"),
        ("variable, 40 cc/rev, two-spring torque limit", "no torque or power limit"),
        ("variable, 40 cc/rev, charge centred", "no closed loop pump"),
        ("load sensing, 40 cc/rev, both ways", "over centre"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(said: str, message: str) -> None:
    found = refusals(f"P1 pump, {said}")
    assert any(message in one for one in found), found
