"""What everybody in the trade knows of pumps and their controls.

Every fact here is common practice, no source, unless a formula stands beside it.
"""

from __future__ import annotations

import math

import pytest

from tests.facts.bench import BAR, KW, L_MIN, only, pressure, solved, value

SENSING = """
  T1 tank
  P1 pump, load sensing, 45 cc/rev, 2000 rpm, margin 20 bar, compensator 250 bar
  R1 relief, set 290 bar, 100 L/min
  S1 section, flow 60 L/min
  C1 cylinder, bore 80 mm, rod 45 mm, stroke 500 mm
"""
SENSING_LINES = """
  from T1 to P1 S
  from P1 P to S1 P and R1 P
  from R1 T and S1 T and P1 L to T1
  from S1 LS to P1 X
  from S1 A to C1 cap
  from S1 B to C1 rod
"""


def test_a_dead_headed_load_sensing_pump_sits_at_its_compensator_setting() -> None:
    point = only(SENSING, SENSING_LINES, "step stalled, S1 at a, C1 at end stop")
    assert point.parts["P1"].state == "on cut-off"
    assert 249 * BAR < pressure(point, "P1", "P") <= 250 * BAR
    assert value(point, "P1", "stroke") < 0.1


def test_in_neutral_a_load_sensing_pump_sits_near_its_margin() -> None:
    point = only(SENSING, SENSING_LINES, "step neutral, S1 at centre")
    assert point.parts["P1"].state == "on margin"
    assert pressure(point, "P1", "P") == pytest.approx(20 * BAR, abs=3 * BAR)
    assert value(point, "P1", "stroke") < 0.05


def test_a_load_sensing_pump_keeps_its_margin_over_any_load() -> None:
    steps = "\n".join(f"step s{load}, S1 at a 60 %, C1 load {load} kN" for load in (2, 20, 60, 90))
    points = list(solved(SENSING, SENSING_LINES, steps))
    for point in points:
        assert value(point, "P1", "margin") == pytest.approx(20 * BAR, abs=3 * BAR)
    flows = [value(point, "S1", "flow") for point in points]
    assert max(flows) < 1.05 * min(flows), "the section's flow does not depend on its load"


def test_zero_displacement_gives_no_flow_only_slip() -> None:
    """Slip = (1 - volumetric) x D n, in proportion to pressure; torque without stroke."""
    point = only(
        """
  T1 tank
  T2 tank, gas 125 bar
  P1 pump, variable, 45 cc/rev, 1500 rpm, volumetric 95 %, rated 250 bar
  TH1 throttle, 60 L/min at 5 bar
""",
        """
  from T1 to P1 S
  from P1 P to TH1 in
  from TH1 out to T2
  from P1 L to T1
""",
        "step idle, P1 at 0 %",
    )
    assert value(point, "P1", "stroke") == pytest.approx(0.0, abs=1e-12)
    half_of_rated_slip = 0.5 * 0.05 * 45e-6 * 25
    assert value(point, "P1", "flow") == pytest.approx(-half_of_rated_slip, rel=0.01)


def test_an_open_circuit_variable_pump_without_pressure_stands_at_full_stroke() -> None:
    point = only(
        """
  T1 tank
  P1 pump, pressure compensated, 30 cc/rev, 1500 rpm, compensator 250 bar, torque limit 40 Nm
""",
        """
  from T1 to P1 S
  from P1 P to T1
  from P1 L to T1
""",
    )
    assert value(point, "P1", "stroke") == pytest.approx(1.0, abs=1e-9)
    assert value(point, "P1", "flow") == pytest.approx(45 * L_MIN, rel=1e-9)


@pytest.mark.parametrize("thin", [16, 8])
def test_slip_grows_as_viscosity_falls(thin: int) -> None:
    """Laminar gaps: half the viscosity, twice the case flow."""

    def case_flow(nu: float) -> float:
        point = only(
            """
  T1 tank
  P1 pump, pressure compensated, 45 cc/rev, 1500 rpm, compensator 250 bar
  R1 relief, set 290 bar
""",
            """
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T and P1 L to T1
""",
            oil=f"oil {nu} cSt at 40 degC, 870 kg/m3, at 40 degC",
        )
        return value(point, "P1", "case drain") / pressure(point, "P1", "P")

    assert case_flow(thin) / case_flow(32) == pytest.approx(32 / thin, rel=1e-6)


def test_a_torque_limit_keeps_pressure_times_stroke() -> None:
    steps = "\n".join(f"step s{share}, TH1 open {share} %" for share in (70, 50, 35, 25))
    points = solved(
        """
  T1 tank
  P1 pump, pressure compensated, 45 cc/rev, 1500 rpm, compensator 300 bar,
     torque limit 90 Nm, mechanical 100 %
  TH1 throttle, 60 L/min at 60 bar
""",
        """
  from T1 to P1 S
  from P1 P to TH1 in
  from TH1 out to T1
  from P1 L to T1
""",
        steps,
    )
    for point in points:
        assert point.parts["P1"].state == "on torque limit"
        held = pressure(point, "P1", "P") * value(point, "P1", "stroke")
        assert held == pytest.approx(90 / (45e-6 / (2 * math.pi)), rel=1e-3)
        assert value(point, "P1", "torque") == pytest.approx(90.0, rel=1e-3)


def test_displacement_times_speed_is_flow_and_times_pressure_torque() -> None:
    """30 cm3/rev at 1500 rev/min: 45.0 L/min; at 250 bar V dp/(2 pi) = 119.4 N m."""
    point = only(
        """
  T1 tank
  T2 tank, gas 250 bar
  P1 pump, fixed, 30 cc/rev, 1500 rpm, volumetric 100 %, mechanical 100 %
""",
        """
  from T1 to P1 S
  from P1 P to T2
""",
    )
    assert value(point, "P1", "flow") == pytest.approx(45.0 * L_MIN, rel=1e-3)
    assert value(point, "P1", "torque") == pytest.approx(119.4, rel=1e-3)


def test_ten_litres_a_minute_at_sixty_bar_is_one_kilowatt() -> None:
    point = only(
        """
  T1 tank
  T2 tank, gas 60 bar
  P1 pump, fixed, 10 cc/rev, 1000 rpm, volumetric 100 %, mechanical 100 %
""",
        """
  from T1 to P1 S
  from P1 P to T2
""",
    )
    assert value(point, "P1", "shaft power") == pytest.approx(1.0 * KW, rel=1e-9)


@pytest.mark.parametrize(
    ("control", "setting", "slip", "power"),
    [("load sensing, margin 20 bar", 20, 2.0, 67.0), ("pressure compensated", 250, 3.0, 1250.0)],
)
def test_power_of_standby_and_dead_head(
    control: str, setting: float, slip: float, power: float
) -> None:
    """p q: 20 bar and 2 L/min are 67 W, 250 bar and 3 L/min 1.25 kW."""
    sense = "from P1 X to T1" if "load" in control else ""
    point = only(
        f"""
  T1 tank
  P1 pump, {control}, 45 cc/rev, 1500 rpm, compensator 250 bar, mechanical 100 %,
     volumetric 100 %, case drain {slip} L/min at {setting} bar
  R1 relief, set 290 bar
""",
        f"""
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T and P1 L to T1
  {sense}
""",
    )
    assert pressure(point, "P1", "P") == pytest.approx(setting * BAR, rel=0.01)
    assert value(point, "P1", "shaft power") == pytest.approx(power, rel=0.015)


def test_a_fixed_pump_on_a_closed_centre_goes_over_the_relief() -> None:
    point = only(
        """
  T1 tank
  P1 pump, fixed, 16 cc/rev, 1450 rpm
  R1 relief, set 160 bar, 60 L/min
  V1 valve 4/3, closed centre
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
    flow = value(point, "P1", "flow")
    assert value(point, "R1", "flow") > 0.99 * flow
    assert 0.95 * 160 * BAR < pressure(point, "P1", "P") < 160 * BAR
    heat = flow * pressure(point, "P1", "P")
    assert point.parts["R1"].loss == pytest.approx(heat, rel=0.01), "all of it is heat"


def test_doubling_the_flow_over_a_relief_stays_within_its_override() -> None:
    def held(displacement: float) -> float:
        point = only(
            f"""
  T1 tank
  P1 pump, fixed, {displacement} cc/rev, 1450 rpm
  R1 relief, set 160 bar, 60 L/min
""",
            """
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T to T1
""",
        )
        return pressure(point, "P1", "P")

    assert 0.0 < held(32) - held(16) < 0.05 * 160 * BAR


def test_above_its_setting_the_big_pump_of_a_pair_idles() -> None:
    points = solved(
        """
  T1 tank
  E1 engine, 9 kW, 2900 rpm
  P1 pump, fixed, 14 cc/rev, driven by E1
  P2 pump, fixed, 4 cc/rev, driven by E1
  CV1 check
  U1 unloading valve, set 50 bar
  R1 relief, set 180 bar
  C1 cylinder, bore 80 mm, rod 45 mm, stroke 500 mm
""",
        """
  from T1 to P1 S and P2 S
  from P1 P to U1 P
  from P1 P through CV1 to C1 cap
  from P2 P to C1 cap and U1 X and R1 P
  from U1 T and R1 T and C1 rod to T1
""",
        """
  step fast, C1 load 10 kN
  step hard, C1 load 60 kN
""",
    )
    fast, hard = points
    assert pressure(hard, "P1", "P") < 5 * BAR
    assert value(fast, "C1", "speed") / value(hard, "C1", "speed") == pytest.approx(4.5, rel=0.08)
    assert point_power(hard) < 1.5 * value(hard, "P2", "shaft power")


def point_power(point: object) -> float:
    """Power that both pumps of a pair take."""
    return value(point, "P1", "shaft power") + value(point, "P2", "shaft power")  # type: ignore[arg-type]
