"""What everybody in the trade knows of valves, lines and filters.

Every fact here is common practice, no source, unless a formula stands beside it.
"""

from __future__ import annotations

import math

import pytest

from tests.facts.bench import BAR, KN, L_MIN, only, pressure, solved, value


def circle(d: float) -> float:
    return math.pi * d * d / 4.0


HANGING = """
  T1 tank
  P1 pump, fixed, 16 cc/rev, 1450 rpm
  R1 relief, set 200 bar, 40 L/min
  V1 valve 4/3, float centre
  C1 cylinder, bore 80 mm, rod 45 mm, stroke 600 mm, weight 45 kN, efficiency 100 %
"""
HANGING_LINES = """
  from T1 to P1 S
  from P1 P to R1 P and V1 P
  from R1 T and V1 T to T1
  from V1 B to C1 rod
"""


def test_a_pilot_check_holds_a_load_and_lets_it_down() -> None:
    raising, held, lowering = solved(
        HANGING + "  PC1 pilot check, ratio 4",
        HANGING_LINES
        + """
  from V1 A to PC1 in
  from PC1 out to C1 cap
  from V1 B to PC1 X
""",
        """
  step raise, V1 at a, C1 travels 300 mm
  step hold, V1 at centre
  step lower, V1 at b, C1 travels 300 mm
""",
    )
    assert value(raising, "C1", "speed") > 0.05
    assert abs(value(held, "C1", "speed")) < 1e-5
    assert pressure(held, "C1", "cap") == pytest.approx(45 * KN / circle(0.080), rel=1e-3)
    assert held.parts["PC1"].state == "seated"
    assert value(lowering, "C1", "speed") < -0.05


def test_a_check_passes_one_way_only() -> None:
    def flow(start: str, end: str) -> float:
        point = only(
            """
  T1 tank
  T2 tank, gas 10 bar
  CV1 check
  TH1 throttle, 20 L/min at 10 bar
""",
            f"""
  from T2 to {start}
  from {end} to TH1 in
  from TH1 out to T1
""",
        )
        return abs(value(point, "TH1", "flow")) / L_MIN

    assert flow("CV1 in", "CV1 out") > 15.0
    assert flow("CV1 out", "CV1 in") < 1e-4


def test_a_shuttle_passes_the_higher_pressure() -> None:
    def out(left: float, right: float) -> float:
        point = only(
            f"""
  T1 tank
  T2 tank, gas {left} bar
  T3 tank, gas {right} bar
  SH1 shuttle
  OR1 orifice, 0.2 mm
""",
            """
  from T2 to SH1 1
  from T3 to SH1 2
  from SH1 out to OR1 in
  from OR1 out to T1
""",
        )
        return pressure(point, "SH1", "out")

    assert out(50, 80) == pytest.approx(80 * BAR, rel=0.01)
    assert out(90, 80) == pytest.approx(90 * BAR, rel=0.01)


@pytest.mark.parametrize(("back", "pilot"), [(0.0, 11.25), (10.0, 23.75)])
@pytest.mark.parametrize("off", [-0.3, 0.3])
def test_a_counterbalance_opens_at_the_expected_pilot_pressure(
    back: float, pilot: float, off: float
) -> None:
    """(setting - load)/ratio = (195 - 150)/4 = 11.25 bar, and 1 + ratio times the back pressure.

    The seat begins to open there: 10 bar behind it ask for (5/4) 10 = 12.5 bar more.
    """
    weight = 150 * BAR * circle(0.080) / KN
    point = only(
        f"""
  T1 tank
  T2 tank, gas {back} bar
  T3 tank, gas {pilot + off} bar
  CB1 counterbalance, set 195 bar, pilot 4:1
  C1 cylinder, single acting, bore 80 mm, stroke 600 mm, weight {weight:.9f} kN, efficiency 100 %
""",
        """
  from C1 cap to CB1 C
  from CB1 V to T2
  from T3 to CB1 X
""",
        "step lower, C1 travels 300 mm",
    )
    assert pressure(point, "CB1", "C") == pytest.approx(150 * BAR, rel=1e-3)
    assert point.parts["CB1"].state == ("closed" if off < 0 else "lowering")
    assert (value(point, "C1", "speed") < -1e-3) == (off > 0)


def test_a_counterbalance_keeps_a_lowered_load_from_running_away() -> None:
    """The speed down follows the pump's flow into the rod side, not the load."""
    (lowering,) = solved(
        HANGING + "  CB1 counterbalance, set 130 bar, pilot 3:1, 40 L/min at 8 bar",
        HANGING_LINES
        + """
  from V1 A to CB1 V
  from CB1 C to C1 cap
  from V1 B to CB1 X
""",
        "step lower, V1 at b, C1 travels 300 mm",
    )
    flow = value(lowering, "P1", "flow") - value(lowering, "R1", "flow")
    area = circle(0.080) - circle(0.045)
    assert value(lowering, "C1", "speed") == pytest.approx(-flow / area, rel=0.01)
    assert pressure(lowering, "C1", "rod") > 5 * BAR


def test_a_sequence_valve_moves_the_second_cylinder_after_the_first() -> None:
    first, second = solved(
        """
  T1 tank
  P1 pump, fixed, 16 cc/rev, 1450 rpm
  R1 relief, set 160 bar, 40 L/min
  SQ1 sequence, set 100 bar
  C1 cylinder, single acting, bore 63 mm, stroke 300 mm
  C2 cylinder, single acting, bore 63 mm, stroke 300 mm
""",
        """
  from T1 to P1 S
  from P1 P to R1 P and C1 cap and SQ1 P
  from R1 T and SQ1 Y to T1
  from SQ1 A to C2 cap
""",
        """
  step clamp, C1 load 10 kN, C2 load 10 kN
  step drill, C1 at end stop, C2 load 10 kN
""",
    )
    assert value(first, "C1", "speed") > 0.1
    assert abs(value(first, "C2", "speed")) < 1e-4
    assert value(second, "C2", "speed") > 0.1
    assert pressure(second, "C1", "cap") > 100 * BAR


def test_a_reducing_valve_keeps_the_pressure_behind_it() -> None:
    held, drawn = solved(
        """
  T1 tank
  P1 pump, fixed, 16 cc/rev, 1450 rpm
  R1 relief, set 160 bar, 40 L/min
  RV1 reducing valve, set 40 bar
  TH1 throttle, 10 L/min at 40 bar
""",
        """
  from T1 to P1 S
  from P1 P to R1 P and RV1 P
  from R1 T and RV1 T to T1
  from RV1 A to TH1 in
  from TH1 out to T1
""",
        """
  step held, TH1 open 0 %
  step drawn, TH1 open 100 %
""",
    )
    for point in (held, drawn):
        assert pressure(point, "P1", "P") > 150 * BAR
        assert 36 * BAR < pressure(point, "RV1", "A") < 44 * BAR


def test_a_flow_control_does_not_mind_the_load_a_throttle_does() -> None:
    def speeds(part: str) -> list[float]:
        points = solved(
            f"""
  T1 tank
  P1 pump, fixed, 16 cc/rev, 1450 rpm
  R1 relief, set 160 bar, 40 L/min
  X1 {part}
  C1 cylinder, single acting, bore 63 mm, stroke 300 mm
""",
            """
  from T1 to P1 S
  from P1 P to R1 P and X1 in
  from R1 T to T1
  from X1 out to C1 cap
""",
            """
  step light, C1 load 3 kN
  step heavy, C1 load 30 kN
""",
        )
        return [value(point, "C1", "speed") for point in points]

    light, heavy = speeds("flow control, 5 L/min")
    assert light == pytest.approx(heavy, rel=0.05)
    assert light == pytest.approx(5 * L_MIN / circle(0.063), rel=0.05)
    light, heavy = speeds("throttle, 5 L/min at 100 bar")
    assert light > 1.3 * heavy


@pytest.mark.parametrize(("drop", "flow"), [(100, 4.43), (25, 2.21)])
def test_an_orifice_of_one_millimetre(drop: float, flow: float) -> None:
    """C_d A sqrt(2 dp/rho) with C_d 0.62 and 870 kg/m3: 4.43 L/min at 100 bar, half at 25."""
    point = only(
        f"""
  T1 tank
  T2 tank, gas {drop} bar
  OR1 orifice, 1 mm
""",
        """
  from T2 to OR1 in
  from OR1 out to T1
""",
    )
    assert value(point, "OR1", "flow") == pytest.approx(flow * L_MIN, rel=0.005)


def line_drop(displacement: float) -> tuple[float, float]:
    """Speed [m/s] and drop [Pa] of a 20 mm line of 5 m at 1500 times a displacement."""
    point = only(
        f"""
  T1 tank
  P1 pump, fixed, {displacement} cc/rev, 1500 rpm, volumetric 100 %
""",
        """
  from T1 to P1 S
  main from P1 P to T1, hose 20 mm, 5 m
""",
    )
    line = next(part for part in point.parts.values() if part.kind == "line")
    return line.values["speed"], line.values["drop"]


def test_the_drop_of_a_laminar_line() -> None:
    """20 mm, 5 m, 60 L/min, 32 mm2/s: Re 1989, 64/Re, 3.18 m/s and 0.354 bar."""
    speed, drop = line_drop(40)
    assert speed == pytest.approx(3.18, rel=0.005)
    assert drop == pytest.approx(0.354 * BAR, rel=0.005)


def test_laminar_drop_grows_as_flow_and_turbulent_nearly_as_its_square() -> None:
    laminar = line_drop(20)[1] / line_drop(10)[1]
    turbulent = line_drop(800)[1] / line_drop(400)[1]
    assert laminar == pytest.approx(2.0, rel=1e-6)
    assert 2**1.7 < turbulent < 4.0


def test_cold_oil_raises_the_drop_of_a_filter_and_opens_its_bypass() -> None:
    cold, warm = solved(
        """
  T1 tank
  P1 pump, fixed, 40 cc/rev, 1500 rpm
  F1 filter, 10 um, 60 L/min at 0.5 bar, bypass 1.7 bar
""",
        """
  from T1 to P1 S
  from P1 P through F1 to T1
""",
        """
  step cold, oil at 5 degC
  step warm, oil at 50 degC
""",
        oil="oil ISO VG 46, at 50 degC",
    )
    assert warm.parts["F1"].state == "filtering"
    assert cold.parts["F1"].state == "bypassing"
    assert value(cold, "F1", "drop") > 1.7 * BAR > 3 * value(warm, "F1", "drop")


def test_oil_of_grade_46_at_sixty_and_eighty_degrees() -> None:
    """ASTM D341 through 46 and 6.8 mm2/s: 20.6 and 11.1 mm2/s."""
    warm, hot = solved(
        """
  T1 tank
  P1 pump, fixed, 40 cc/rev, 1500 rpm
""",
        """
  from T1 to P1 S
  from P1 P to T1
""",
        """
  step warm, oil at 60 degC
  step hot, oil at 80 degC
""",
        oil="oil 46 cSt at 40 degC, 6.8 cSt at 100 degC, at 60 degC",
    )
    assert warm.nu == pytest.approx(20.6e-6, rel=0.005)
    assert hot.nu == pytest.approx(11.1e-6, rel=0.005)


def test_a_tandem_centre_idles_a_closed_centre_heats() -> None:
    def idle(centre: str) -> float:
        point = only(
            f"""
  T1 tank
  P1 pump, fixed, 16 cc/rev, 1450 rpm
  R1 relief, set 160 bar, 40 L/min
  V1 valve 4/3, {centre}
  C1 cylinder, bore 63 mm, rod 36 mm, stroke 300 mm
""",
            """
  from T1 to P1 S
  from P1 P to R1 P and V1 P
  from R1 T and V1 T to T1
  from V1 A to C1 cap
  from V1 B to C1 rod
""",
        )
        return point.totals.loss

    assert idle("closed centre") > 8 * idle("tandem centre")
