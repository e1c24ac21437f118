"""Curves of parts: cut-off, margin, torque limit, rated drops, stall, efficiencies.

The closed forms (Q = V n, M = V p / 2 pi, F = p A, drop with the square of the flow) are
definitions with the symbols of ISO 4391, from memory; the circuits are invented.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from circuitcheck.pipeline import load, parse
from circuitcheck.solver.operating import Solution
from circuitcheck.studies.chart import CURVE, LOAD_LINE, Chart, Curve, NoCurveError
from circuitcheck.studies.efficiency_map import efficiency_map
from circuitcheck.studies.part_curves import drop_chart, speed_chart
from circuitcheck.studies.pump_curves import pump_chart

EXAMPLES = Path(__file__).parents[2] / "examples"
BAR, L_MIN, RPM = 1e5, 1e-3 / 60.0, 2.0 * math.pi / 60.0

PUMP = """\
circuit "Pump on its own"
oil 32 cSt at 40 degC, 870 kg/m3, at 40 degC
parts
  T1 tank, 100 L
  E1 electric motor, 90 kW, 1500 rpm
  P1 pump, {pump}, driven by E1, volumetric 100 %, mechanical 100 %
  R1 relief, set 300 bar, 200 L/min
  V1 shut-off, normally open, 200 L/min at 10 bar
  M1 motor, 60 cc/rev, volumetric 100 %, mechanical 100 %
lines
  from T1 to P1 S
  from P1 P to V1 in and R1 P
  from V1 out to M1 A
  from M1 B to T1
  from M1 L to T1
  from R1 T to T1
  from P1 L to T1
cycle
  step easy, V1 open, M1 load 20 Nm
  step hard, V1 open, M1 load 150 Nm
  step shut, V1 closed
"""


def solved(pump: str) -> Solution:
    text = PUMP.format(pump=pump)
    return parse(text if "fixed" not in pump else text.replace("  from P1 L to T1\n", "")).solve()


def curve(chart: Chart, name: str = "") -> Curve:
    (found,) = [c for c in chart.curves if c.kind == CURVE and (not name or name in c.name)]
    return found


def distance(line: Curve, x: float, y: float, wide: float, high: float) -> float:
    """Least distance of a point from a line drawn through its points, in widths and heights."""
    known = np.isfinite(line.x) & np.isfinite(line.y)
    share = np.linspace(0.0, known.sum() - 1.0, 40 * int(known.sum()))
    along = np.arange(known.sum())
    xs, ys = np.interp(share, along, line.x[known]), np.interp(share, along, line.y[known])
    return float(np.min(np.hypot((xs - x) / wide, (ys - y) / high)))


def at(line: Curve, x: float) -> float:
    return float(np.interp(x, line.x, line.y))


# ---- pumps ---------------------------------------------------------------------------------


def test_a_fixed_pump_gives_displacement_times_speed_at_any_pressure() -> None:
    line = curve(pump_chart(solved("fixed, 50 cc/rev"), "P1"))
    assert np.allclose(line.y, 75.0 * L_MIN, rtol=1e-6)


def test_cut_off_ends_the_flow_at_its_setting() -> None:
    chart = pump_chart(solved("pressure compensated, 50 cc/rev, compensator 200 bar"), "P1")
    line = curve(chart)
    full = 75.0 * L_MIN
    assert at(line, 190 * BAR) == pytest.approx(full, rel=1e-3)
    # a setting is the pressure at no flow; the band below it is that of the pump
    assert at(line, 199.9 * BAR) < 0.05 * full
    half = float(np.interp(-0.5 * full, -line.y, line.x))
    assert half == pytest.approx(196.5 * BAR, rel=2e-3)
    assert ("cut-off", 200 * BAR) in [(level.name, level.value) for level in chart.levels]


def test_torque_limit_is_a_hyperbola() -> None:
    """Torque = p V/(2 pi), so that p q stays at limit times speed."""
    pump = "pressure compensated, 50 cc/rev, compensator 250 bar, torque limit 80 Nm"
    line = curve(pump_chart(solved(pump), "P1"))
    begins = 80.0 * 2 * math.pi / 50e-6
    inside = (line.x > 1.1 * begins) & (line.x < 240 * BAR)
    assert inside.sum() > 50
    assert np.allclose(line.x[inside] * line.y[inside], 80.0 * 1500 * RPM, rtol=2e-3)
    assert at(line, 0.9 * begins) == pytest.approx(75.0 * L_MIN, rel=1e-3)


def test_load_sensing_has_a_curve_for_every_signal() -> None:
    solution = load(EXAMPLES / "flow_sharing.hyc").solve()
    chart = pump_chart(solution, "P1")
    for name in ("standby", "lower", "lift"):
        line = curve(chart, name)
        signal = max(0.0, solution.step(name).parts["P1"].ports["X"].pressure)
        margin = solution.circuit.parts["P1"].figure("margin")
        band = solution.circuit.parts["P1"].figure("margin band")
        assert margin is not None
        assert band is not None
        full = float(np.nanmax(line.y))
        assert at(line, signal + margin - 1.2 * band) > 0.95 * full
        assert at(line, signal + margin + BAR) < 0.02 * full
    assert any("margin 20 bar" in note for note in chart.notes)


@pytest.mark.parametrize(
    ("example", "pump"), [("press", "P1"), ("torque_limit", "P1"), ("flow_sharing", "P1")]
)
def test_steps_stand_on_the_curve_and_on_their_load_lines(example: str, pump: str) -> None:
    """The operating point is where the pump's curve and the load line of the circuit meet."""
    solution = load(EXAMPLES / f"{example}.hyc").solve()
    chart = pump_chart(solution, pump)
    most = max(float(np.nanmax(line.y)) for line in chart.curves if line.kind == CURVE)
    for point in solution:
        p, q = point.parts[pump].ports["P"].pressure, -point.parts[pump].ports["P"].flow
        own = [line for line in chart.curves if line.kind == CURVE
               and (point.step.name in line.name or line.name == pump)]  # fmt: skip
        near = min(distance(line, p, q, 250 * BAR, most) for line in own)
        assert near < 0.01, point.step.name
        (line,) = [c for c in chart.curves if c.kind == LOAD_LINE and c.name == point.step.name]
        assert distance(line, p, q, 250 * BAR, most) < 0.01, point.step.name


def test_a_closed_loop_pump_shows_its_strokes() -> None:
    solution = load(EXAMPLES / "travel_drive.hyc").solve()
    chart = pump_chart(solution, "P1")
    full, part = curve(chart, "headland"), curve(chart, "row")
    assert full.y[0] / part.y[0] == pytest.approx(1.0 / 0.4, rel=0.01)
    assert not [line for line in chart.curves if line.kind == LOAD_LINE]


def test_efficiency_at_the_rated_point_is_that_of_the_text() -> None:
    """92 % by volume and 90 % mechanical at 250 bar and rated speed: 82.8 % in all."""
    solution = load(EXAMPLES / "press.hyc").solve()
    field = efficiency_map(solution, "P1")
    row = field.values[:, np.argmin(np.abs(field.x[0] - 1450 * RPM))]
    at_rated = float(np.interp(230 * BAR, field.y[:, 0], row))
    pump = solution.circuit.parts["P1"]
    product = (pump.figure("volumetric") or 0.0) * (pump.figure("mechanical") or 0.0)
    assert at_rated == pytest.approx(product, abs=0.02)
    # slow against high pressure the slip eats the flow
    assert field.values[-1, 0] < 0.7 * at_rated


def test_map_agrees_with_the_steps() -> None:
    """Efficiency at an operating point, read from the map, is that of the solver."""
    for example, part in (("press", "P1"), ("travel_drive", "P2"), ("torque_limit", "P1")):
        solution = load(EXAMPLES / f"{example}.hyc").solve()
        field = efficiency_map(solution, part)
        for point in solution:
            state = point.parts[part]
            own = state.values["efficiency"]
            dp = state.ports["P"].pressure - state.ports["S"].pressure
            if dp < field.y[1, 0] or not own > 0.3:
                continue
            column = np.argmin(np.abs(field.x[0] - state.values["speed"]))
            seen = float(np.interp(dp, field.y[:, column], field.values[:, column]))
            assert seen == pytest.approx(own, abs=0.02), (example, point.step.name)


def test_map_of_a_motor_is_its_power_out_over_power_in() -> None:
    solution = load(EXAMPLES / "travel_drive.hyc").solve()
    field = efficiency_map(solution, "M1")
    known = np.isfinite(field.values)
    assert known.mean() > 0.9
    assert 0.0 < np.nanmin(field.values) < np.nanmax(field.values) < 1.0
    # 95 % by volume and 90 % mechanical where the figures of the text hold
    assert np.nanmax(field.values) == pytest.approx(0.95 * 0.9, abs=0.03)


# ---- drops ---------------------------------------------------------------------------------


def test_a_valve_drops_what_its_text_says_at_its_rated_flow() -> None:
    chart = drop_chart(load(EXAMPLES / "press.hyc").solve(), "V1", "P-A")
    (line,) = chart.curves
    known = np.isfinite(line.x)
    drop = float(np.interp(60 * L_MIN, line.x[known], line.y[known]))
    rho = load(EXAMPLES / "press.hyc").solve().points[0].rho
    assert drop == pytest.approx(6 * BAR * rho / 870.0, rel=2e-3)  # rated with 870 kg/m3
    quarter = float(np.interp(30 * L_MIN, line.x[known], line.y[known]))
    assert quarter == pytest.approx(drop / 4.0, rel=0.01)


def test_a_relief_holds_its_setting() -> None:
    (line,) = drop_chart(load(EXAMPLES / "press.hyc").solve(), "R1").curves
    known = np.isfinite(line.x)
    closed = line.x[known & (line.y < 190 * BAR)]
    assert np.all(closed < 0.01 * L_MIN)
    drop = float(np.interp(60 * L_MIN, line.x[known], line.y[known]))
    assert drop == pytest.approx(210 * BAR, rel=0.01)


def test_a_pressure_compensated_flow_control_is_flat() -> None:
    solution = load(EXAMPLES / "feed_slide.hyc").solve()
    line = next(c for c in drop_chart(solution, "FC1").curves if c.name == "in to out")
    least = solution.circuit.parts["FC1"].figure("flow")
    flat = line.x[(line.y > 20 * BAR) & np.isfinite(line.x)]
    assert np.ptp(flat) < 0.01 * least


def test_ways_that_drop_alike_are_one_line() -> None:
    chart = drop_chart(load(EXAMPLES / "press.hyc").solve(), "V1")
    (line,) = chart.curves
    assert "P to A" in line.name
    assert "B to T" in line.name


def test_steps_stand_on_the_drop() -> None:
    for example, part in (("press", "F1"), ("press", "push"), ("tool_bank", "CB1")):
        chart = drop_chart(load(EXAMPLES / f"{example}.hyc").solve(), part)
        top = max(float(np.nanmax(line.y)) for line in chart.curves)
        for mark in chart.marks:
            near = min(
                abs(float(np.interp(mark.x, line.x[np.isfinite(line.x)],
                                    line.y[np.isfinite(line.x)])) - mark.y)
                for line in chart.curves
            )  # fmt: skip
            assert near < 0.05 * top, (part, mark.name)


# ---- speed ---------------------------------------------------------------------------------


def test_a_cylinder_stalls_where_pressure_times_area_ends() -> None:
    solution = load(EXAMPLES / "press.hyc").solve()
    chart = speed_chart(solution, "C1", "press")
    (line,) = chart.curves
    area = math.pi / 4 * 0.1**2
    stall = float(line.x[np.argmax(line.y < 1e-3 * line.y[0])])
    relief = solution.step("squeeze").parts["P1"].ports["P"].pressure
    assert stall == pytest.approx(relief * area, rel=0.06)
    (mark,) = chart.marks
    assert at(line, mark.x) == pytest.approx(mark.y, rel=2e-3)
    assert line.y[0] > mark.y


def test_speed_of_a_motor_over_its_torque() -> None:
    chart = speed_chart(solved("fixed, 50 cc/rev"), "M1", "easy")
    (line,) = chart.curves
    assert chart.x.quantity == "torque"
    assert chart.y.quantity == "rotation"
    assert line.y[0] == pytest.approx(50 / 60 * 1500 * RPM, rel=1e-3)
    held = 300 * BAR * 60e-6 / (2 * math.pi)
    stall = float(line.x[np.argmax(line.y < 1e-3 * line.y[0])])
    assert stall == pytest.approx(held, rel=0.05)


# ---- refusals ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("what", "name", "words"),
    [
        ("pump", "R1", "pumps of this circuit: P1"),
        ("pump", "", "pump of which part"),
        ("drop", "P1", "moves"),
        ("drop", "G1", "no such way"),
        ("drop", "X9", "no part X9"),
        ("speed", "V1", "no step gives V1 a load"),
        ("efficiency", "C1", "no pump or motor C1"),
        ("power", "P1", "whole cycle"),
        ("noise", "", "there are no curves 'noise'"),
    ],
)
def test_what_there_is_not_is_said(what: str, name: str, words: str) -> None:
    with pytest.raises(NoCurveError, match=words):
        load(EXAMPLES / "press.hyc").curves(what, name)


def test_every_curve_that_is_listed_can_be_made() -> None:
    press = load(EXAMPLES / "press.hyc")
    names = press.curve_names()
    assert {"pump P1", "drop V1", "speed C1", "efficiency P1", "energy"} <= set(names)
    for name in names:
        what, _, part = name.partition(" ")
        assert press.curves(what, part) is not None
