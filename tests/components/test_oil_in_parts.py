"""Oil pressed together in lines and cylinders, viscosity windows of machines: closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.circuit import build
from circuitcheck.language import read
from tests.components.bench import BAR, bench, sources

STIFF = "32 cSt at 50 degC, 870 kg/m3, bulk modulus 16000 bar"
ATMOSPHERE = 1.01325


@given(
    bar=st.floats(0, 600), bore=st.floats(4, 100), length=st.floats(0.1, 50), air=st.floats(0, 5)
)
def test_a_line_takes_up_what_its_oil_and_air_lose(
    bar: float, bore: float, length: float, air: float
) -> None:
    """Oil by p/K, bubbles by the law of a fast change of state, side by side."""
    oil = f"{STIFF}, air {air!r} %"
    line = f"  from T1 to G1, pipe {bore!r} mm, {length!r} m"
    named = line.replace("from", "L1 from", 1)
    point = bench(sources(T1=bar) + "\nG1 gauge, 0 to 700 bar", named, oil=oil)
    volume = math.pi / 4 * (bore * 1e-3) ** 2 * length
    share = air / 100
    bubbles = share * (1 - (ATMOSPHERE / (ATMOSPHERE + bar)) ** (1 / 1.4))
    lost = volume * ((1 - share) * bar / 16000 + bubbles)
    assert point["L1"].values["compression"] == pytest.approx(lost, rel=1e-5, abs=1e-12)


def test_a_held_cylinder_is_a_spring_of_two_columns() -> None:
    """A K/way of each side, K of the family: 1.5e9 at 50 degC, growing 5 Pa a Pa as a mean."""
    point = bench(
        sources(T1=100, T2=40)
        + "\nC1 cylinder, bore 80 mm, rod 50 mm, stroke 400 mm, at start 150 mm",
        "from T1 to C1 cap\nfrom T2 to C1 rod",
        "C1 held, C1 at 150 mm",
        oil="32 cSt at 50 degC, 870 kg/m3",
    )
    A, ring = math.pi / 4 * 0.08**2, math.pi / 4 * (0.08**2 - 0.05**2)
    spring = taken = 0.0
    for area, way, pressure in ((A, 0.15, 100e5), (ring, 0.25, 40e5)):
        K = 1.5e9 + 5 * pressure
        taken += area * way * pressure / K
        spring += area / way * (1 - pressure / K) * K**2 / 1.5e9
    assert point["C1"].values["compression"] == pytest.approx(taken, rel=1e-9)
    assert point["C1"].values["oil spring"] == pytest.approx(spring, rel=1e-9)


def test_a_plunger_all_the_way_in_holds_no_oil() -> None:
    point = bench(
        sources(T1=50) + "\nC1 cylinder, plunger, rod 40 mm, stroke 300 mm",
        "from T1 to C1 cap",
        "C1 held",
    )
    assert point["C1"].values["compression"] == 0.0
    assert np.isnan(point["C1"].values["oil spring"])


def test_pressed_oil_is_measured_from_no_pressure_up() -> None:
    """Under suction nothing is said to be pressed."""
    point = bench(
        sources(T1=-0.3) + "\nG1 gauge, 0 to 10 bar", "L1 from T1 to G1, pipe 20 mm, 1 m", oil=STIFF
    )
    assert point["G1"].values["pressure"] == pytest.approx(-0.3 * BAR)
    assert point["L1"].values["compression"] == 0.0


@pytest.mark.parametrize(
    ("machine", "words"),
    [
        ("pump, fixed, 10 cc/rev, 1000 rpm", "least viscosity 40 cSt, most viscosity 20 cSt"),
        ("pump, fixed, 10 cc/rev, 1000 rpm", "most viscosity 400 cSt, start viscosity 100 cSt"),
        ("motor, gear, 10 cc/rev", "least viscosity 40 cSt, most viscosity 20 cSt"),
        ("pump, fixed, 10 cc/rev, 1000 rpm", "least viscosity 0 cSt"),
        ("pump, fixed, 10 cc/rev, 1000 rpm", "most viscosity 2 m2/s"),
    ],
)
def test_a_window_that_is_none_is_refused(machine: str, words: str) -> None:
    text, found = read(f'circuit "x"\nparts\n  T1 tank\n  X1 {machine}, {words}\n', "x.hyc")
    _, more = build(text)
    assert any("viscosity" in f.message for f in (*found, *more))
