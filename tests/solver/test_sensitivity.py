"""Sensitivities by the adjoint: held against differences of whole solutions."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.varied import words_of
from circuitcheck.laws.smoothing import Array
from circuitcheck.pipeline import CircuitError, Project, load, parse
from circuitcheck.solver.asked import Results, find_subject
from circuitcheck.solver.fitted import with_values
from circuitcheck.solver.sensitivity import Sensitivity
from circuitcheck.solver.settling import settle
from circuitcheck.solver.system import Case
from tests.properties.design import Design, Drawn, design
from tests.properties.writing import text_of

STAND = """
circuit "stand"
oil ISO VG 46, at {oil} degC
parts
  T1  tank, 60 L
  P1  pump, fixed, 16 cc/rev, 1450 rpm
  R1  relief, set {set} bar
  V1  valve 4/3, closed centre, proportional
  C1  cylinder, bore {bore} mm, rod 56 mm, stroke 500 mm
lines
  from T1 to P1 S
  from P1 P to V1 P and R1 P,  hose 12 mm, 3 m
  from V1 A to C1 cap
  from V1 B to C1 rod
  from V1 T and R1 T to T1
cycle
  step hold, V1 at centre, C1 at end stop
  step out, V1 at a {opening} %, C1 load {load} kN
"""

USUAL = {"oil": 50, "set": 100, "bore": 100, "opening": 10, "load": 60}


def differences(project: Project, result: str, key: tuple[str, str], value: float) -> Array:
    """Slope of a result in every step, from two whole solutions."""
    circuit = project.circuit
    pushed = value * np.array([1.0 - 1e-4, 1.0 + 1e-4])
    case = Case(circuit, circuit.steps, {key: pushed}, variations=2)
    found = settle(case).answer
    assert found.found.solved.all()
    subject = find_subject(Desk({}, set()), circuit, words_of(result, "", 1))
    assert subject is not None
    low, high = np.asarray(case.by_step(Results(found).of(subject))).T
    slope: Array = (high - low) / (pushed[1] - pushed[0])
    return slope


def held_against_differences(project: Project, result: str, step: str, count: int = 99) -> None:
    names = [point.step.name for point in project.solve()]
    rows = [row for row in project.sensitivities(result, step=step) if row.at != 0.0]
    greatest = max(abs(row.share) for row in rows if math.isfinite(row.share))
    for row in rows[:count]:
        if row.figure.quantity == "share" and row.at >= 1.0:
            continue  # at the end of what it can be: one side only
        wanted = differences(project, result, row.figure.key, row.at)[names.index(step)]
        room = 2e-3 * abs(row.slope) + 1e-5 * greatest * abs(row.result / row.at)
        assert row.slope == pytest.approx(wanted, abs=room), row.figure.text


@pytest.mark.parametrize("result", ["C1 speed", "P1 P pressure", "R1 flow", "heat"])
@pytest.mark.parametrize("load", [20, 60])
def test_every_figure_of_a_circuit_agrees_with_differences(result: str, load: int) -> None:
    """With the relief shut (speed follows the pump) and open (it follows the setting)."""
    held_against_differences(parse(STAND.format(**USUAL | {"load": load})), result, "out")


@settings(max_examples=15, derandomize=True, deadline=None, database=None, phases=[Phase.generate])
@given(
    st.floats(20, 80), st.floats(60, 300), st.floats(63, 160), st.floats(3, 90), st.floats(1, 100)
)
def test_agrees_with_differences_wherever_the_circuit_stands(
    oil: float, bar: float, bore: float, opening: float, load: float
) -> None:
    figures = {"oil": oil, "set": bar, "bore": bore, "opening": opening, "load": load}
    text = STAND.format(**{name: f"{value:.4g}" for name, value in figures.items()})
    project = parse(text)
    (moved,) = project.sensitivities("C1 speed", ["R1 set"], "out")
    wanted = differences(project, "C1 speed", ("R1", "set"), moved.at)[1]
    assert moved.slope == pytest.approx(wanted, rel=2e-3, abs=1e-5 * abs(moved.result / moved.at))


@st.composite
def designs(draw: st.DrawFn) -> Design:
    whole = design(Drawn(draw), ("pressure compensated", "load sensing"), most=2, steps=1)
    for branch in whole.branches:
        branch.holding = "none"  # pilots make jumps, where there is no slope
    return whole


@settings(
    max_examples=5, derandomize=True, deadline=None, database=None, phases=[Phase.generate],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)  # fmt: skip
@given(designs())
def test_agrees_with_differences_in_circuits_drawn_by_lot(whole: Design) -> None:
    held_against_differences(parse(text_of(whole)), "P1 P pressure", "s1", count=6)


def test_the_setting_of_an_open_relief_is_the_pressure() -> None:
    project = parse(STAND.format(**USUAL))
    slope = project.sensitivity("R1 pressure", "R1 set", "hold")
    assert slope.to("bar/bar").magnitude == pytest.approx(1.0, rel=0.05)
    assert project.sensitivity("C1 speed", "R1 set", "out").check("[length]/[time]/[pressure]")


def test_what_a_shut_relief_is_set_to_does_not_matter() -> None:
    project = parse(STAND.format(**USUAL | {"set": 250, "load": 5, "opening": 60}))
    assert project.sensitivity("C1 speed", "R1 set", "out").magnitude == 0.0


def test_figures_are_ordered_by_what_they_count() -> None:
    shares = [
        abs(row.share) for row in parse(STAND.format(**USUAL)).sensitivities("C1 speed", step="out")
    ]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] > 0.1


@pytest.mark.parametrize(
    ("result", "figure", "said"),
    [("C9 speed", "R1 set", "C9"), ("C1 speed", "R1 sett", "sett"), ("C1 sped", "R1 set", "sped")],
)
def test_what_is_not_there_is_said(result: str, figure: str, said: str) -> None:
    with pytest.raises(CircuitError, match=said):
        parse(STAND.format(**USUAL)).sensitivity(result, figure, "out")


def test_a_step_must_be_named_and_be_there() -> None:
    project = parse(STAND.format(**USUAL))
    for step in ("", "in"):
        with pytest.raises(KeyError):
            project.sensitivity("C1 speed", "R1 set", step)


EXAMPLES = Path(__file__).parents[2] / "examples"


def written_in(project: Project, row: Sensitivity, step: str) -> float:
    """Share of change of a result, per cent for one per cent: from two circuits that have the
    figure written into them, 0.5 % off to both sides."""
    circuit = project.circuit
    subject = row.subject
    ends = []
    for share in (0.995, 1.005):
        one = with_values(circuit, [row.figure], {row.figure.key: share * row.at})
        found = settle(Case(one, one.steps)).answer
        place = [s.name for s in one.steps].index(step)
        assert found.found.solved[place]
        ends.append(float(np.broadcast_to(Results(found).of(subject), (len(one.steps),))[place]))
    return (ends[1] - ends[0]) / 0.01 / row.result


@pytest.mark.parametrize(
    ("name", "result", "step"),
    [
        ("press", "C1 speed", "approach"),
        ("press", "heat", "press"),
        ("fan_drive", "M1 speed", "fast"),
        ("splitter", "heat", "bite"),
    ],
)
def test_figures_of_examples_agree_with_circuits_that_have_them_written_in(
    name: str, result: str, step: str
) -> None:
    """A figure at zero that switches a law on must not spoil others; what a part assumes from
    a figure follows it."""
    project = load(EXAMPLES / f"{name}.hyc")
    rows = project.sensitivities(result, step=step)
    greatest = max(abs(row.share) for row in rows if math.isfinite(row.share))
    assert "E1 speed" in {row.figure.text for row in rows if abs(row.share) > 0.5}
    for row in rows:
        if row.at == 0.0 or (row.figure.quantity == "share" and row.at >= 1.0):
            continue
        wanted = written_in(project, row, step)
        room = 0.01 * abs(wanted) + 2e-3 * greatest
        assert row.share == pytest.approx(wanted, abs=room), row.figure.text


def test_a_figure_that_brings_in_other_elements_has_no_slope() -> None:
    project = load(EXAMPLES / "press.hyc")
    listed = {row.figure.text for row in project.sensitivities("C1 speed", step="approach")}
    assert "E1 droop" not in listed
    with pytest.raises(ValueError, match="'E1 droop' decides how E1 is built"):
        project.sensitivities("C1 speed", ["E1 droop"], "approach")
    (alone,) = project.sensitivities("C1 speed", ["E1 speed"], "approach")
    together = {r.figure.text: r for r in project.sensitivities("C1 speed", step="approach")}
    assert together["E1 speed"].slope == pytest.approx(alone.slope, rel=1e-6)


def test_the_opening_that_a_step_orders_is_where_its_slope_is_taken() -> None:
    project = parse(STAND.format(**USUAL | {"set": 250, "load": 5, "opening": 40}))
    (row,) = project.sensitivities("P1 P pressure", ["V1 opening"], "out")
    assert row.at == pytest.approx(0.4)
    wanted = differences(project, "P1 P pressure", ("V1", "opening"), 0.4)[1]
    assert row.slope == pytest.approx(wanted, rel=2e-3)


def test_a_load_of_nothing_has_the_slope_of_a_small_load() -> None:
    project = parse(STAND.format(**USUAL | {"set": 250, "load": 0, "opening": 100}))
    (row,) = project.sensitivities("C1 cap pressure", ["C1 load"], "out")
    assert row.at == 0.0
    wanted = differences(project, "C1 cap pressure", ("C1", "load"), 10.0)[1]
    assert row.slope == pytest.approx(wanted, rel=2e-3)


def test_a_temperature_of_nothing_has_a_slope() -> None:
    project = parse(STAND.format(**USUAL | {"oil": 0, "set": 250, "load": 5}))
    (row,) = project.sensitivities("P1 P pressure", ["oil temperature"], "out")
    assert row.at == 0.0
    beside = [
        parse(STAND.format(**USUAL | {"oil": degC, "set": 250, "load": 5})).solve().step("out")
        for degC in (-0.1, 0.1)
    ]
    low, high = (point["P1"].ports["P"].pressure for point in beside)
    assert row.slope == pytest.approx((high - low) / 0.2, rel=2e-3)


def test_a_circuit_with_one_unknown_has_slopes() -> None:
    text = "parts\n  T1 tank\n  P1 pump, fixed, 16 cc/rev, 1450 rpm\n  R1 relief, set 100 bar\n"
    lines = "lines\n  from T1 to P1 S\n  from P1 P to R1 P\n  from R1 T to T1\n"
    (row,) = parse(text + lines).sensitivities("R1 pressure", ["R1 set"])
    assert row.slope == pytest.approx(1.0, rel=0.05)
