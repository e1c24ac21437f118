"""Oil pressed together in pumps and motors: closed forms, worked shares, conservation."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.circuit import build
from circuitcheck.language import read
from circuitcheck.pipeline import parse
from tests.components.bench import BAR, L_MIN, bench, flow, sources

OIL = "32 cSt at 50 degC, 870 kg/m3, bulk modulus 15000 bar"
K = 15000.0
NO_SLIP = "slip coefficient 0, drag coefficient 0, friction coefficient 0"
MOVED = 100e-6 * 1000.0 / 60.0
"""Flow at full stroke of the pump below [m3/s]."""


def variable(stroke: float, bar: float, dead: str, losses: str = NO_SLIP) -> tuple[float, float]:
    """Delivery and loss by compression of a pump of 100 cc/rev at 1000 rpm [m3/s]."""
    point = bench(
        sources(T1=0, T2=bar)
        + f"\nP1 pump, variable, 100 cc/rev, 1000 rpm, {losses}, dead volume {dead},"
        + f" test pressure {max(bar, 1.0)!r} bar",
        "from T1 to P1 S\nfrom P1 P to T2\nfrom P1 L to T1",
        f"P1 at {stroke!r} %",
        oil=OIL,
    )
    return -flow(point, "P1", "P") * L_MIN, point["P1"].values["compression loss"]


@pytest.mark.parametrize("stroke", [0, 25, 50, 100])
def test_pressed_oil_fills_the_dead_space_and_what_a_part_stroke_leaves(stroke: int) -> None:
    """D w dp/K (dead + (1 - x)/2), textbook form."""
    delivered, lost = variable(stroke, 250, "20 %")
    x = stroke / 100
    wanted = MOVED * 250 / K * (0.2 + (1 - x) / 2)
    assert lost == pytest.approx(wanted, rel=1e-6)
    assert delivered == pytest.approx(x * MOVED - wanted, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize(("stroke", "share"), [(100, 0.3), (50, 1.5), (25, 3.8)])
def test_worked_shares_of_the_flow_at_part_stroke(stroke: int, share: float) -> None:
    """250 bar, K 1.5e9 Pa, dead space of a fifth: recomputed by hand."""
    _, lost = variable(stroke, 250, "20 %")
    assert 100 * lost / (stroke / 100 * MOVED) == pytest.approx(share, abs=0.05)


def test_volumetric_efficiency_holds_at_its_test_point_all_the_same() -> None:
    delivered, lost = variable(100, 250, "20 %", "volumetric 92 %")
    assert lost > 0
    assert delivered == pytest.approx(0.92 * MOVED, rel=2e-3)


def test_more_pressed_oil_than_loss_is_said() -> None:
    text = f"""circuit "x"
oil {OIL}
parts
  T1 tank
  P1 pump, fixed, 100 cc/rev, 1000 rpm, volumetric 99.9 %, dead volume 50 %, test pressure 250 bar
  R1 relief, set 200 bar, 120 L/min
lines
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T to T1
"""
    solution = parse(text).solve()
    assert "loss-by-compression" in {f.slug for f in solution.findings}


def test_motor_takes_the_pressed_oil_and_gives_the_same_torque() -> None:
    """At one load and flow the pressure is the same, and q = D w (1 + dead dp/K)."""

    def turned(more: str) -> dict[str, float]:
        point = bench(
            "T1 tank\nP1 pump, fixed, 60 cc/rev, 1000 rpm, constant efficiency,"
            " volumetric 100 %\nR1 relief, set 350 bar\n"
            f"M1 motor, gear, 50 cc/rev, {NO_SLIP}, test pressure 200 bar{more}",
            "from T1 to P1 S\nfrom P1 P to M1 A and R1 P\nfrom M1 B and R1 T to T1",
            "M1 load 150 Nm",
            oil=OIL,
        )
        found = dict(point["M1"].values)
        found["bar"] = point["M1"].ports["A"].pressure / BAR
        return found

    loose, pressed = turned(""), turned(", dead volume 30 %")
    assert pressed["torque"] == pytest.approx(loose["torque"], rel=1e-6)
    assert pressed["bar"] == pytest.approx(loose["bar"], rel=1e-5)
    share = 0.3 * pressed["bar"] / K
    assert loose["speed"] / pressed["speed"] == pytest.approx(1 + share, rel=1e-5)


@given(stroke=st.floats(0, 100), bar=st.floats(0, 400), dead=st.floats(0, 200))
def test_pressed_oil_conserves_oil_and_makes_no_power(
    stroke: float, bar: float, dead: float
) -> None:
    point = bench(
        sources(T1=0, T2=bar)
        + f"\nP1 pump, variable, 100 cc/rev, 1000 rpm, {NO_SLIP}, dead volume {dead!r} %",
        "from T1 to P1 S\nfrom P1 P to T2\nfrom P1 L to T1",
        f"P1 at {stroke!r} %",
        oil=OIL,
    )
    ports = point["P1"].ports.values()
    assert math.fsum(port.flow for port in ports) == pytest.approx(0.0, abs=1e-9)
    given_to_oil = -math.fsum(port.flow * port.pressure for port in ports)
    assert point["P1"].values["power"] >= given_to_oil - 1e-3
    assert point.power_error < 1e-6


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ("constant efficiency, dead volume 20 %", "constant efficiency and a 'dead volume'"),
        ("dead volume 300 %", "dead volume"),
    ],
)
def test_what_cannot_be_is_refused(words: str, message: str) -> None:
    text, found = read(
        f'circuit "x"\nparts\n  T1 tank\n  P1 pump, fixed, 10 cc/rev, 1000 rpm, {words}\n', "x.hyc"
    )
    _, more = build(text)
    assert any(message in f.message for f in (*found, *more))
