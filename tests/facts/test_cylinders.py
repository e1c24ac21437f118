"""What everybody in the trade knows of cylinders and motors.

Every fact here is common practice, no source, unless a formula stands beside it.
"""

from __future__ import annotations

import math

import pytest

from tests.facts.bench import BAR, KN, L_MIN, only, pressure, solved, value

PUMP = """
  T1 tank
  P1 pump, fixed, 40 cc/rev, 1500 rpm, volumetric 100 %
  R1 relief, set 300 bar, 80 L/min
"""
PUMP_LINES = """
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T to T1
"""


def circle(d: float) -> float:
    return math.pi * d * d / 4.0


def test_a_regenerative_cylinder_pushes_with_its_rod_area() -> None:
    """Bore 100, rod 70, 60 L/min, 200 bar: 0.260 m/s, 77.0 kN, 122.4 L/min into the cap."""
    point = only(
        PUMP + "  C1 cylinder, bore 100 mm, rod 70 mm, stroke 400 mm, efficiency 100 %",
        PUMP_LINES + "  from P1 P to C1 cap and C1 rod",
        "step approach, C1 load 76.97 kN",
    )
    assert pressure(point, "C1", "cap") == pytest.approx(200 * BAR, rel=1e-3)
    assert value(point, "C1", "force") == pytest.approx(77.0 * KN, rel=1e-3)
    assert value(point, "C1", "speed") == pytest.approx(0.260, rel=2e-3)
    assert value(point, "C1", "flow") == pytest.approx(122.4 * L_MIN, rel=2e-3)


def test_metering_out_intensifies_by_the_area_ratio() -> None:
    """Bore 100, rod 70: A1/A2 = 1.961, 250 bar on the cap are 490 bar on the rod side."""
    point = only(
        """
  T1 tank
  P1 pump, pressure compensated, 45 cc/rev, 1500 rpm, compensator 250 bar
  C1 cylinder, bore 100 mm, rod 70 mm, stroke 400 mm, efficiency 100 %
  FC1 flow control, 2 L/min
""",
        """
  from T1 to P1 S
  from P1 P to C1 cap
  from C1 rod to FC1 in
  from FC1 out and P1 L to T1
""",
    )
    cap, rod = pressure(point, "C1", "cap"), pressure(point, "C1", "rod")
    assert cap == pytest.approx(250 * BAR, rel=0.01)
    assert rod / cap == pytest.approx(1.961, rel=1e-3)


def test_doubling_the_bore_quarters_speed_and_pressure() -> None:
    def of(bore: float) -> tuple[float, float]:
        point = only(
            PUMP + f"  C1 cylinder, single acting, bore {bore} mm, stroke 400 mm, efficiency 100 %",
            PUMP_LINES + "  from P1 P to C1 cap",
            "step push, C1 load 40 kN",
        )
        return value(point, "C1", "speed"), pressure(point, "C1", "cap")

    (fast, high), (slow, low) = of(50), of(100)
    assert fast / slow == pytest.approx(4.0, rel=1e-3)
    assert high / low == pytest.approx(4.0, rel=1e-3)


def test_a_cylinder_retracts_faster_by_the_area_ratio() -> None:
    extend, retract = solved(
        PUMP
        + """
  V1 valve 4/3
  C1 cylinder, bore 100 mm, rod 70 mm, stroke 400 mm
""",
        PUMP_LINES
        + """
  from P1 P to V1 P
  from V1 T to T1
  from V1 A to C1 cap
  from V1 B to C1 rod
""",
        """
  step extend, V1 at a, C1 load 5 kN
  step retract, V1 at b, C1 load 5 kN
""",
    )
    out, back = value(extend, "C1", "speed"), value(retract, "C1", "speed")
    assert out > 0.0 > back
    assert -back / out == pytest.approx(circle(100) / (circle(100) - circle(70)), rel=0.01)


@pytest.mark.parametrize(("one", "two"), [(20, 30), (30, 20), (20, 21), (20, 20.2)])
def test_of_two_cylinders_in_parallel_the_lighter_moves_first(one: float, two: float) -> None:
    point = only(
        PUMP + "  C1 and C2 cylinder, bore 63 mm, rod 36 mm, stroke 300 mm",
        PUMP_LINES
        + """
  from P1 P to C1 cap and C2 cap
  from C1 rod and C2 rod to T1
""",
        f"step both, C1 load {one} kN, C2 load {two} kN",
    )
    light, heavy = ("C1", "C2") if one < two else ("C2", "C1")
    assert value(point, light, "speed") == pytest.approx(60 * L_MIN / circle(0.063), rel=1e-3)
    assert abs(value(point, heavy, "speed")) < 1e-4


def test_two_equal_cylinders_in_parallel_share_the_flow() -> None:
    point = only(
        PUMP + "  C1 and C2 cylinder, bore 63 mm, rod 36 mm, stroke 300 mm",
        PUMP_LINES
        + """
  from P1 P to C1 cap and C2 cap
  from C1 rod and C2 rod to T1
""",
        "step both, C1 load 20 kN, C2 load 20 kN",
    )
    assert value(point, "C1", "speed") == pytest.approx(value(point, "C2", "speed"), rel=1e-9)


def test_time_is_way_over_speed() -> None:
    point = only(
        PUMP + "  C1 cylinder, single acting, bore 100 mm, stroke 400 mm",
        PUMP_LINES + "  from P1 P to C1 cap",
        "step push, C1 load 40 kN, C1 travels 300 mm",
    )
    assert point.duration == pytest.approx(0.3 / value(point, "C1", "speed"), rel=1e-9)


def test_too_great_a_load_stands_and_the_flow_goes_over_the_relief() -> None:
    point = only(
        PUMP + "  C1 cylinder, single acting, bore 50 mm, stroke 400 mm",
        PUMP_LINES + "  from P1 P to C1 cap",
        "step push, C1 load 100 kN",
    )
    assert point.parts["C1"].state == "stalled"
    assert value(point, "R1", "flow") == pytest.approx(value(point, "P1", "flow"), rel=1e-3)


def test_a_motor_turns_at_flow_over_displacement_and_torque_makes_pressure() -> None:
    """60 L/min into 100 cm3/rev: 600 rev/min; 159.2 N m are 100 bar."""
    point = only(
        PUMP + "  M1 motor, 100 cc/rev, volumetric 100 %, mechanical 100 %",
        PUMP_LINES
        + """
  from P1 P to M1 A
  from M1 B and M1 L to T1
""",
        "step turn, M1 load 159.155 Nm",
    )
    assert value(point, "M1", "speed") == pytest.approx(600 * 2 * math.pi / 60, rel=1e-3)
    assert value(point, "M1", "drop") == pytest.approx(100 * BAR, rel=2e-3)


def test_rope_pull_rises_on_the_inner_layer() -> None:
    """Torque at the motor = pull x radius/(ratio x gear efficiency)."""
    parts = (
        PUMP
        + """
  M1 motor, 100 cc/rev, mechanical 100 %
  W1 winch, driven by M1, ratio 20, gear 80 %, drum 238 mm, rope 12 mm, layers 3
"""
    )
    lines = (
        PUMP_LINES
        + """
  from P1 P to M1 A
  from M1 B and M1 L to T1
"""
    )
    inner, outer = solved(
        parts,
        lines,
        """
  step inner, W1 load 20 kN, W1 layer 1
  step outer, W1 load 20 kN, W1 layer 3
""",
    )
    assert value(inner, "M1", "torque") == pytest.approx(20e3 * 0.125 / (20 * 0.8), rel=1e-3)
    assert value(outer, "M1", "torque") == pytest.approx(20e3 * 0.149 / (20 * 0.8), rel=1e-3)
    assert value(outer, "W1", "speed") > value(inner, "W1", "speed")
