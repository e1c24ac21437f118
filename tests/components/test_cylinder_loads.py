"""Loads on rods, end stops, cushions and buckling: published examples and closed forms."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.components._buckling import buckling_load
from circuitcheck.pipeline import load
from circuitcheck.solver.operating import OperatingPoint
from tests.components.bench import TEST_OIL, bench, sources
from tests.components.refusals import refusals
from tests.components.test_accumulators import run

LBF, FOOT, INCH, PSI = 4.4482216, 0.3048, 0.0254, 6894.757
G = 9.80665
MASS = 6000 * 0.45359237

PARTS = "TT tank\nP1 pump, fixed, 10 cc/rev, 1000 rpm, volumetric 100 %\n"
PARTS += "R1 relief, set 300 bar\nC1 cylinder, "
LINES = "from TT to P1 S\nfrom P1 P to C1 cap and R1 P\nfrom R1 T to TT"
BOTH = f"{LINES}\nfrom C1 rod to TT"
PLAIN = "single acting, bore 100 mm, stroke 500 mm, efficiency 100 %"


def force(said: str, step: str = "1 s") -> float:
    """Force that the oil gives a single-acting cylinder that moves out [N]."""
    point = bench(f"{PARTS}{PLAIN}, {said}", LINES, step)
    assert point["C1"].state == "moving out"
    assert point.power_error < 1e-6
    return point["C1"].values["force"]


@pytest.mark.parametrize(
    ("said", "step", "pounds"),
    [
        ("angle 30 deg", "1 s", 3000),
        ("angle 90 deg", "C1 gains 8 ft/s, C1 ramp 0.5 s", 8984),
        ("friction 0.14", "1 s", 840),
        ("angle 90 deg", "C1 gains -8 ft/s, C1 ramp 0.5 s", 3016),
    ],
)
def test_published_loads_on_a_slope_and_with_acceleration(
    said: str, step: str, pounds: float
) -> None:
    """6000 lb: 3000 lb at 30 deg, 8984 lb lifted to 8 ft/s in 0.5 s, 840 lb on the level.

    Textbook examples (recomputed); the fourth is the second with the sign turned.
    """
    found = force(f"mass {MASS:.6f} kg, {said}", step)
    assert found / LBF == pytest.approx(pounds, rel=1e-3)


@pytest.mark.parametrize(("ratio", "pounds"), [(1.0, 1000), (0.5, 500), (2.0, 2000)])
def test_published_lever_classes(ratio: float, pounds: float) -> None:
    """Arms 10 in and 10 in, 1000 lb: first class 1000, second 500, third 2000 lb."""
    said = f"lever {ratio}, weight {1000 * LBF / 1e3} kN"
    assert force(said) / LBF == pytest.approx(pounds, rel=1e-3)
    with_load = force(f"lever {ratio}", f"C1 load {1000 * LBF / 1e3} kN")
    assert with_load / LBF == pytest.approx(pounds, rel=1e-3)


def test_mass_over_a_lever_counts_with_the_square_of_its_ratio() -> None:
    found = force("mass 1000 kg, lever 2", "C1 gains 0.5 m/s, C1 ramp 0.1 s")
    assert found == pytest.approx(1000 * 4 * 5.0, rel=1e-3)


@pytest.mark.parametrize("place", [0, 100, 300])
def test_spring_pushes_more_the_further_out(place: float) -> None:
    found = force("spring 2 kN, spring rate 20 N/mm", f"C1 at {place} mm")
    assert found == pytest.approx(2000 + 20 * place, rel=2e-3)


def test_drag_grows_with_speed() -> None:
    area = math.pi / 4 * 0.1**2
    speed = 10e-3 / 60 / area
    assert force("drag 3 kN at 0.1 m/s") == pytest.approx(3000 * speed / 0.1, rel=2e-3)


TABLE = "first force 1 kN at 0 mm, second force 5 kN at 200 mm, third force 30 kN at 300 mm"


@pytest.mark.parametrize(
    ("place", "kn"), [(0, 1), (100, 3), (200, 5), (250, 17.5), (300, 30), (400, 30)]
)
def test_force_over_the_stroke_is_straight_between_its_points(place: float, kn: float) -> None:
    assert force(TABLE, f"C1 at {place} mm") == pytest.approx(kn * 1e3, rel=2e-3)
    assert force(f"{TABLE}, weight 2 kN", f"C1 at {place} mm, C1 clear") == pytest.approx(
        2e3, rel=2e-3
    )


def test_lever_over_the_stroke() -> None:
    said = "first lever 1 at 0 mm, second lever 2 at 400 mm, weight 4 kN"
    assert force(said, "C1 at 200 mm") == pytest.approx(6e3, rel=2e-3)


def test_place_is_followed_from_step_to_step() -> None:
    """10 L/min into 100 mm bore are 21.2 mm/s: 4 s out, then 2 s more."""
    said = f"{PARTS}{PLAIN}, spring rate 20 N/mm, at start 50 mm"
    first, second = run(said, LINES, "step a, 4 s\nstep b, 2 s")
    speed = 10e-3 / 60 / (math.pi / 4 * 0.01)
    assert first["C1"].values["place"] == pytest.approx(0.05 + 2 * speed, rel=1e-3)
    assert second["C1"].values["place"] == pytest.approx(0.05 + 5 * speed, rel=1e-3)
    assert second["C1"].values["force"] == pytest.approx(20e3 * (0.05 + 5 * speed), rel=2e-3)


def test_end_stop_takes_what_the_load_does_not() -> None:
    parts = f"{sources(TA=100, TT=0)}\nC1 cylinder, bore 100 mm, rod 56 mm, stroke 500 mm"
    point = bench(f"{parts}, efficiency 100 %, weight 20 kN", "from TA to C1 cap\n"
                  "from C1 rod to TT", "C1 at end stop")  # fmt: skip
    expected = 100e5 * math.pi / 4 * 0.01 - 20e3
    assert point["C1"].values["stop force"] == pytest.approx(expected, rel=1e-6)
    assert point["C1"].state == "at end stop"


def test_tandem_pushes_with_both_pistons() -> None:
    """Two 80 mm pistons on a 45 mm rod: 2 A - a out, 2 (A - a) in."""
    said = "tandem, bore 80 mm, rod 45 mm, stroke 200 mm, efficiency 100 %"
    bore, rod = math.pi / 4 * 0.08**2, math.pi / 4 * 0.045**2
    point = bench(f"{PARTS}{said}", BOTH, "C1 load 60 kN")
    found = point["C1"]
    assert found.ports["cap"].pressure == pytest.approx(60e3 / (2 * bore - rod), rel=2e-3)
    assert found.ports["rod"].flow / found.ports["cap"].flow == pytest.approx(
        -2 * (bore - rod) / (2 * bore - rod), rel=1e-9
    )


# ---- cushion and buckling ------------------------------------------------------------


def test_published_cushion_pressure() -> None:
    """18.2 gpm, 3 in bore, 1 in plunger, 0.75 in, 1500 lb, mu 0.12, 750 psi: 856 psi."""
    flow = 18.2 * 3.785412  # L/min
    said = "cylinder, bore 3 in, rod 0.5 in, stroke 20 in, efficiency 100 %, friction 0.12,"
    said += f" mass {1500 * 0.45359237:.5f} kg, cushion 0.75 in, spear 1 in, stop pressure 750 psi"
    parts = f"TT tank\nP1 pump, fixed, {flow} cc/rev, 1000 rpm, volumetric 100 %\nC1 {said}"
    point = bench(parts, "from TT to P1 S\nfrom P1 P to C1 cap\nfrom C1 rod to TT", "C1 load 0 kN")
    assert point["C1"].values["speed"] / FOOT == pytest.approx(0.826, rel=1e-3)
    assert point["C1"].values["cushion pressure"] / PSI == pytest.approx(855.6, rel=1e-3)


def test_published_buckling_load() -> None:
    """45 mm rod, 1.8 m, pinned: pi^2 E I/L^2 = 126.3 kN (E 2.06e11)."""
    found = force("rod 45 mm, length 1.8 m, pinned both ends", "C1 load 25 kN")
    assert found == pytest.approx(25e3, rel=1e-3)
    said = f"{PARTS}{PLAIN}, rod 45 mm, length 1.8 m, pinned both ends"
    values = bench(said, LINES, "C1 load 25 kN")["C1"].values
    assert values["buckling load"] == pytest.approx(126.3e3, rel=1e-3)
    assert values["buckling safety"] == pytest.approx(126.3 / 25, rel=2e-3)


def test_what_rounding_leaves_on_an_idle_rod_is_no_push() -> None:
    """The rod of the press stands between shut edges while it waits."""
    press = load(Path(__file__).resolve().parents[2] / "examples" / "press.hyc")
    assert math.isnan(press.solve().step("idle")["C1"].values["buckling safety"])


@given(rod=st.floats(0.01, 0.3), length=st.floats(0.01, 10))
def test_johnson_meets_euler_and_never_beats_the_yield_load(rod: float, length: float) -> None:
    load = float(buckling_load(np.array(rod), np.array(length)))
    longer = float(buckling_load(np.array(rod), np.array(length * 1.0001)))
    assert 0.0 < longer <= load <= 305e6 * math.pi / 4 * rod**2
    assert load == pytest.approx(longer, rel=1e-3)


# ---- what cannot be ------------------------------------------------------------------

USUAL = "bore 80 mm, rod 45 mm, stroke 400 mm"


@pytest.mark.parametrize(
    ("said", "part_of"),
    [
        ("at start 500 mm", "cannot start at"),
        ("cushion 400 mm", "not shorter than the stroke"),
        ("spear 90 mm", "not smaller than the bore"),
        ("first force 2 kN", "has no place"),
        ("first force 2 kN at 50 mm, second force 3 kN at 40 mm", "not beyond the first"),
        ("lever 2, first lever 1 at 0 mm", "a table of it"),
        ("angle 120 deg", "angle"),
        ("friction 3", "friction"),
        ("mass -5 kg", "mass"),
        ("efficiency 20 %", "efficiency"),
    ],
)
def test_what_cannot_be_is_refused(said: str, part_of: str) -> None:
    assert any(part_of in message for message in refusals(f"C1 cylinder, {USUAL}, {said}"))


def driven(said: str, pressure: float, step: str) -> OperatingPoint:
    parts = f"{sources(TA=pressure, TT=0)}\nTH1 throttle, 20 L/min at 10 bar\nC1 cylinder, {said}"
    lines = "from TA to TH1 in\nfrom TH1 out to C1 cap\nfrom C1 rod to TT"
    return bench(parts, lines, step, TEST_OIL)


@settings(max_examples=30, deadline=None)
@given(
    bore=st.floats(20, 400), share=st.floats(0.2, 0.9), pressure=st.floats(0, 350),
    mass=st.floats(0, 5e4), angle=st.floats(-90, 90), friction=st.floats(0, 1),
    rate=st.floats(0, 500), place=st.floats(0, 400), load=st.floats(0, 300),
    lever=st.floats(-3, 3), efficiency=st.floats(30, 100), tandem=st.booleans(),
)  # fmt: skip
def test_oil_force_and_power_balance(
    bore: float, share: float, pressure: float, mass: float, angle: float, friction: float,
    rate: float, place: float, load: float, lever: float, efficiency: float, tandem: bool,
) -> None:  # fmt: skip
    said = f"bore {bore!r} mm, rod {bore * share!r} mm, stroke 400 mm, mass {mass!r} kg,"
    said += f" angle {angle!r} deg, friction {friction!r}, spring rate {rate!r} N/mm,"
    said += f" lever {lever!r}, efficiency {efficiency!r} %{', tandem' if tandem else ''}"
    point = driven(said, pressure, f"C1 at {place!r} mm, C1 load {load!r} kN")
    found = point["C1"]
    assert point.power_error < 1e-6
    assert point.imbalance < 1e-9
    assert found.values["heat"] >= -1e-6
    wide, narrow = bore**2 * math.pi / 4e6, bore**2 * (1 - share**2) * math.pi / 4e6
    out = 2 * wide - (wide - narrow) if tandem else wide
    back = 2 * narrow if tandem else narrow
    fills = found.state not in ("cavitates", "load runs away")
    if abs(found.values["speed"]) > 1e-4 and fills:
        assert found.ports["cap"].flow == pytest.approx(out * found.values["speed"], rel=1e-6)
        assert found.ports["rod"].flow == pytest.approx(-back * found.values["speed"], rel=1e-6)
