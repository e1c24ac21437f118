"""Tanks, breathers, coolers, heaters: levels, air, heat, effectiveness of a cooler."""

from __future__ import annotations

import math

import numpy as np
import pytest

from circuitcheck.components._exchanger import PATTERNS, effectiveness, transfer_units
from circuitcheck.pipeline import parse
from tests.components.bench import L_MIN, bench, sources
from tests.components.refusals import refusals
from tests.components.test_conditioning import PSI, PUMPED, RUN, fed

# ---- heat ----------------------------------------------------------------------------


@pytest.mark.parametrize(("oil", "kilowatts"), [(60, 3.5), (45, 2.0), (20, 0.0)])
def test_cooler_takes_heat_in_proportion_to_the_difference(oil: float, kilowatts: float) -> None:
    point = fed("cooler, 3 kW at 30 K, coolant 25 degC", 40, f"oil at {oil} degC")
    assert point["X1"].values["heat taken"] == pytest.approx(kilowatts * 1e3, rel=1e-9)
    off = fed("cooler, 3 kW at 30 K", 40, "oil at 60 degC, X1 off")
    assert off["X1"].values["heat taken"] == 0.0


def test_cold_oil_goes_past_the_core() -> None:
    said = "cooler, 3 kW, 60 L/min at 0.5 bar, bypass 2 bar"
    assert fed(said, 40)["X1"].state == "cooling"
    cold = fed(said, 40, oil="1500 cSt at 0 degC, 32 cSt at 50 degC, 870 kg/m3, at 0 degC")
    assert cold["X1"].state == "bypassing"
    assert cold["X1"].values["bypass flow"] > 0.5 * 40 * L_MIN
    assert cold.power_error < 1e-6


@pytest.mark.parametrize(("degC", "watts", "word"), [(10, 2000, "heating"), (30, 0, "off")])
def test_heater_goes_off_at_its_setting(degC: float, watts: float, word: str) -> None:
    point = fed("heater, 2 kW, set 25 degC, surface 1600 cm2", 20, f"oil at {degC} degC")
    assert point["X1"].values["power"] == watts
    assert point["X1"].state == word


def test_published_heat_of_tank_walls() -> None:
    """1.7 m2, 12 W/(m2 K), oil 85, air 35 degC: 1.020 kW (inputs published)."""
    parts = "TT tank, 200 L, walls 1.7 m2, ambient 35 degC, normal air\nTP tank, gas 1 bar\n"
    point = bench(f"{parts}X1 filter", RUN, "oil at 85 degC")
    assert point["TT"].values["wall heat"] == pytest.approx(1020, rel=1e-9)


def test_the_power_of_a_heater_counts_as_brought_in_and_as_heat() -> None:
    point, off = (fed("heater, 2 kW", 20, f"oil at 10 degC{said}") for said in ("", ", X1 off"))
    assert point.totals.input - off.totals.input == pytest.approx(2000, rel=1e-9)
    assert point.totals.loss - off.totals.loss == pytest.approx(2000, rel=1e-9)
    assert point["X1"].values["heat"] - off["X1"].values["heat"] == pytest.approx(2000, rel=1e-9)
    assert point.power_error < 1e-9
    capacity = 20 * L_MIN * point.rho * 1950
    assert point["X1"].values["oil out"] == pytest.approx(10 + 2000 / capacity, rel=1e-9)


def test_what_cools_is_told_beside_the_losses() -> None:
    parts = "TT tank, 200 L, walls 1.7 m2, ambient 35 degC\nP1 pump, fixed, 40 cc/rev, 1000 rpm\n"
    step = "oil at 60 degC"
    point = bench(f"{parts}X1 cooler, 3 kW at 30 K, coolant 25 degC", PUMPED, step)
    assert point.totals.cooled == pytest.approx(3500 + 12 * 1.7 * 25, rel=1e-9)
    assert point.power_error < 1e-6


def test_published_tank_area_for_a_quarter_of_the_pump_power() -> None:
    """10 gpm, 1500 psi, 25 % at 75 degF need 29.2 ft2 by a rule of 14.5 W/(m2 K).

    The rule lies a fifth above the 12 W/(m2 K) taken here: these walls shed 0.83 of it.
    """
    heat = 0.25 * 10 * 3.785412e-3 / 60 * 1500 * PSI
    walls = 29.17 * 0.09290304
    parts = f"TT tank, walls {walls!r} m2, ambient 25 degC\nTP tank, gas 1 bar\n"
    point = bench(f"{parts}X1 filter", RUN, f"oil at {25 + 75 / 1.8!r} degC")
    assert point["TT"].values["wall heat"] / heat == pytest.approx(12 / 14.44, rel=5e-3)
    parts = parts.replace("ambient", "sheds 14.5 W/(m2 K), ambient")
    point = bench(f"{parts}X1 filter", RUN, f"oil at {25 + 75 / 1.8!r} degC")
    assert point["TT"].values["wall heat"] / heat == pytest.approx(14.5 / 14.44, rel=5e-3)


# ---- cooler with both streams --------------------------------------------------------


def in_slices(ntu: float, ratio: float, turned: bool) -> float:
    """Effectiveness by integrating the two temperatures along the surface."""
    n, cold_in = 4000, 0.0
    for _ in range(60):  # counterflow: guess the cold outlet until the inlet comes out at 0
        hot, cold = 1.0, cold_in
        for _ in range(n):
            step = ntu / n * (hot - cold)
            hot, cold = hot - step, cold + (-ratio if turned else ratio) * step
        if not turned or abs(cold) < 1e-9:
            break
        cold_in -= cold / (1.0 + ntu) if ratio else cold
    return 1.0 - hot


@pytest.mark.parametrize(("ntu", "ratio"), [(0.3, 0.2), (1.0, 0.7), (2.5, 0.4)])
def test_effectiveness_against_an_integration(ntu: float, ratio: float) -> None:
    for pattern, turned in (("parallel flow", False), ("counterflow", True)):
        found = float(effectiveness(np.array(ntu), np.array(ratio), pattern))
        assert found == pytest.approx(in_slices(ntu, ratio, turned), rel=1e-3), pattern


@pytest.mark.parametrize(("ntu", "ratio"), [(0.5, 0.5), (1.0, 1.0), (2.0, 0.5), (3.0, 0.2)])
def test_effectiveness_of_crossed_streams_against_a_grid(ntu: float, ratio: float) -> None:
    """Both streams unmixed, marched over a grid; the short form is good to some 3 %."""
    n = 400
    cold, left = np.zeros(n), np.empty(n)
    for row in range(n):
        hot = 1.0
        for column in range(n):
            step = (hot - cold[column]) * ntu / n
            hot, cold[column] = hot - step, cold[column] + ratio * step
        left[row] = hot
    found = float(effectiveness(np.array(ntu), np.array(ratio), "crossflow"))
    assert found == pytest.approx(1.0 - left.mean(), rel=0.03)


@pytest.mark.parametrize("pattern", PATTERNS)
def test_effectiveness_with_a_coolant_that_does_not_warm(pattern: str) -> None:
    """1 - exp(-NTU), whatever the pattern; and no NTU gives more than the second law."""
    ntu = np.array([0.1, 1.0, 3.0])
    assert effectiveness(ntu, np.zeros(3), pattern) == pytest.approx(-np.expm1(-ntu), rel=1e-4)
    share = effectiveness(ntu, np.full(3, 0.6), pattern)
    assert transfer_units(share, np.full(3, 0.6), pattern) == pytest.approx(ntu, rel=1e-9)


def test_published_oil_cooler() -> None:
    """Oil 213.1 W/K from 100 to 60 degC, water 835.6 W/K from 30 to 40.2: 8524 W over a mean
    difference of 43.2 K, so UA = 197 W/K in counterflow (Incropera, example 11.1, from memory)."""
    oil, water = 213.1 / (870 * 1950), 835.6 / (998 * 4180)
    said = f"cooler, exchange {8524 / 43.2!r} W/K, coolant flow {water / L_MIN!r} L/min"
    bath = "32 cSt at 100 degC, 870 kg/m3"
    point = fed(f"{said}, coolant 30 degC, water cooled", oil / L_MIN, "oil at 100 degC", bath)
    found = point["X1"].values
    capacity = oil * point.rho * 1950
    assert found["heat taken"] == pytest.approx(8524 * capacity / 213.1, rel=5e-3)
    assert found["oil out"] == pytest.approx(60, abs=0.3)
    assert found["coolant out"] == pytest.approx(40.2, abs=0.3)


@pytest.mark.parametrize("pattern", PATTERNS)
@pytest.mark.parametrize(
    "coolant", ["water cooled, coolant flow 12 L/min", "air cooled, coolant flow 40 m3/min"]
)
def test_cooler_takes_its_rated_heat_at_its_rated_flows(coolant: str, pattern: str) -> None:
    said = f"cooler, 8 kW at 40 K, 60 L/min at 0.5 bar, coolant 20 degC, {coolant}, {pattern}"
    oil = "32 cSt at 60 degC, 870 kg/m3"
    point = fed(said, 60, "oil at 60 degC", oil)
    found = point["X1"].values
    assert found["heat taken"] == pytest.approx(8e3, rel=1e-3)
    assert found["oil out"] == pytest.approx(60 - 8e3 / (1e-3 * 870 * 1950), rel=1e-3)
    less = fed(said, 20, "oil at 60 degC", oil)["X1"].values
    assert 8e3 / 3 < less["heat taken"] < 8e3
    assert less["oil out"] < found["oil out"]
    warm = fed(said, 60, "oil at 60 degC, X1 coolant 35 degC", oil)["X1"].values
    assert warm["heat taken"] == pytest.approx(8e3 * 25 / 40, rel=0.01)


def test_a_coolant_flow_that_says_nothing_is_told() -> None:
    parts = f"{sources(TP=1, TT=0)}\nX1 cooler, 3 kW"
    text = f'circuit "b"\noil 32 cSt at 50 degC\nparts\n{parts}\nlines\n{RUN}\ncycle\n'
    found = parse(f"{text}  step test, X1 coolant flow 5 L/min\n").solve()
    assert [f.slug for f in found.findings] == ["order-without-effect"]


# ---- tank and breather ---------------------------------------------------------------

LEVELS = """circuit "levels"
oil 32 cSt at 50 degC, 870 kg/m3
parts
  T1  tank, 100 L, most 120 L, floor 0.25 m2
  BR1 breather, 3 um, 10 L/min at 20 mbar
  P1  pump, fixed, 16 cc/rev, 1450 rpm, volumetric 100 %
  R1  relief, set 180 bar
  V1  valve 4/3, tandem centre, leakage 0 L/min
  C1  cylinder, bore 80 mm, rod 50 mm, stroke 400 mm
  A1  accumulator, 2 L, precharge 400 bar
lines
  from T1 to P1 S and BR1
  from P1 P to V1 P and R1 P and A1
  from V1 T and R1 T to T1
  from V1 A to C1 cap
  from V1 B to C1 rod
cycle
  step idle, V1 at centre, 5 s
  step out, V1 at a, C1 load 20 kN, C1 travels 400 mm
  step back, V1 at b, C1 load 2 kN, C1 travels 300 mm
"""


def test_level_follows_the_rods() -> None:
    """The rod of 50 mm takes 0.785 L over 400 mm."""
    found = parse(LEVELS).solve()
    idle, out, back = (point["T1"].values for point in found)
    rod = math.pi / 4 * 0.05**2
    assert idle["oil"] == pytest.approx(0.1, rel=1e-9)
    assert out["oil"] == pytest.approx(0.1 - rod * 0.4, rel=1e-9)
    assert back["oil"] == pytest.approx(0.1 - rod * 0.1, rel=1e-9)
    assert back["swing"] == pytest.approx(rod * 0.4, rel=1e-9)
    assert back["rods out"] == pytest.approx(0.1 - rod * 0.4, rel=1e-9)
    assert back["rods in"] == 0.1
    assert out["level"] == pytest.approx(out["oil"] / 0.25, rel=1e-12)
    assert out["air space"] == pytest.approx(0.12 - out["oil"], rel=1e-12)
    pumped = 16e-6 * 1450 / 60
    assert idle["return flow"] == pytest.approx(pumped, rel=1e-4)
    assert idle["dwell"] == pytest.approx(0.1 / pumped, rel=1e-4)
    cap = math.pi / 4 * 0.08**2
    assert out["return flow"] == pytest.approx(pumped * (1 - rod / cap), rel=1e-3)


def test_the_level_swings_from_where_the_rods_stand_at_the_start() -> None:
    """Oil is filled in with the rods in; a rod that is out already has taken its share."""
    text = LEVELS.replace("stroke 400 mm", "stroke 400 mm, at start 100 mm")
    first, _ = text.split("  step idle")
    (out,) = parse(first + "  step out, V1 at a, C1 load 20 kN, C1 travels 300 mm\n").solve()
    rod = math.pi / 4 * 0.05**2
    assert out["T1"].values["oil"] == pytest.approx(0.1 - rod * 0.4, rel=1e-9)
    assert out["T1"].values["swing"] == pytest.approx(rod * 0.3, rel=1e-9)


def test_air_through_the_breather_makes_up_for_the_rods() -> None:
    found = parse(LEVELS).solve()
    rod, cap = math.pi / 4 * 0.05**2, math.pi / 4 * 0.08**2
    pumped = 16e-6 * 1450 / 60
    _, out, back = (point["BR1"].values for point in found)
    assert out["air flow"] == pytest.approx(pumped * rod / cap, rel=1e-3)
    assert back["air flow"] == pytest.approx(-pumped * rod / (cap - rod), rel=1e-3)
    assert back["drop"] == pytest.approx(2e3 * -back["air flow"] / (10 * L_MIN), rel=1e-9)
    assert [point["BR1"].state for point in found] == ["at rest", "air comes in", "air goes out"]
    (caution,) = [f for f in found.findings if f.slug == "breather-unfit"]
    assert caution.step == "back"
    assert "rated 10 L/min" in caution.message


def test_oil_in_a_bottle_is_not_in_the_tank() -> None:
    parts = LEVELS.replace("precharge 400 bar", "precharge 20 bar")
    (_, out, *_) = parse(parts).solve()
    taken = out["A1"].values["oil"] + math.pi / 4 * 0.05**2 * 0.4
    assert out["A1"].values["oil"] > 1e-4
    assert out["T1"].values["oil"] == pytest.approx(0.1 - taken, rel=1e-9)


def test_a_breather_does_not_belong_on_a_tank_under_gas() -> None:
    found = parse(LEVELS.replace("tank, 100 L", "tank, 100 L, gas 0.5 bar")).solve()
    assert any("no breather" in f.remedy for f in found.findings if f.slug == "breather-unfit")


def test_levels_are_not_told_of_several_tanks() -> None:
    found = fed("filter", 40)
    assert "oil" not in bench(f"{sources(TP=1, TT=0)}\nX1 filter", RUN)["TT"].values
    assert found["TT"].values["dwell"] == pytest.approx(0.1 / (40 * L_MIN), rel=1e-6)


@pytest.mark.parametrize(
    ("said", "part_of"),
    [
        ("heater, 5 kW, surface 1000 cm2", "oil cracks"),
        ("heater", "power"),
        ("tank, 100 L, least 120 L", "do not rise"),
        ("tank, 100 L, breather, gas 0.5 bar", "has a breather"),
        ("tank, 100 L, walls 1 m2, sheds 0 W/(m2 K)", "sheds"),
        ("breather, 0 L/min", "flow"),
        ("cooler, 3 kW, exchange 100 W/K", "no coolant flow"),
        ("cooler, 3 kW, exchange 100 W/K, coolant flow 9 L/min", "has an exchange and"),
        ("cooler, coolant flow 9 L/min", "neither heat nor exchange"),
        ("cooler, 30 kW at 20 K, water cooled, coolant flow 9 L/min", "cannot take"),
    ],
)
def test_what_cannot_be_is_refused(said: str, part_of: str) -> None:
    messages = refusals(f"X1 {said}")
    assert any(part_of in message for message in messages), messages
