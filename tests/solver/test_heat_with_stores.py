"""Heat where oil is stored is said to be that at the end of steps; a cooler needs oil."""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck import reports
from circuitcheck.pipeline import load, parse
from circuitcheck.reports.step_tables import steps_table

EXAMPLES = Path(__file__).parents[2] / "examples"

COOLED = """
circuit "cooled"
oil ISO VG 46, at 60 degC
parts
  T1  tank, 40 L, ambient 20 degC
  E1  electric motor, 4 kW, 1450 rpm
  P1  pump, fixed, 8 cc/rev, driven by E1
  R1  relief, set 100 bar
  V1  valve 2/2, closed at rest, solenoid a, 40 L/min at 4 bar
  K1  cooler, 3 kW at 30 degC over ambient, coolant 20 degC, 40 L/min at 0.3 bar
lines
  from T1 to P1 S
  from P1 P to R1 P and V1 P
  from R1 T to T1
  from V1 A through K1 to T1
cycle
  step shut, 30 s, V1 at rest
  step open, 10 s, V1 at a
"""


def test_a_cooler_without_oil_takes_no_heat() -> None:
    """But for what leaks through the shut valve; else rated heat by difference: 3 kW x 40/30."""
    points = {point.step.name: point for point in parse(COOLED).solve()}
    assert points["shut"]["K1"].values["heat taken"] == pytest.approx(0.0, abs=50.0)
    assert points["open"]["K1"].values["heat taken"] == pytest.approx(4000.0, rel=1e-6)


def test_a_cooler_takes_no_more_than_cools_its_oil_to_the_coolant() -> None:
    """1 L/min from 60 to 20 degC: flow x density x specific heat x 40 K."""
    text = COOLED.replace("8 cc/rev, driven by E1", "8 cc/rev, driven by E1, volumetric 99 %")
    text = text.replace("3 kW at 30", "300 kW at 30")
    (_, point) = parse(text).solve()
    cooler = point["K1"]
    most = cooler.values["flow"] * point.rho * parse(text).circuit.oil.specific_heat * 40.0
    assert cooler.values["heat taken"] == pytest.approx(most, rel=1e-6)
    assert cooler.values["oil out"] == pytest.approx(20.0, abs=1e-6)


def test_heat_with_an_accumulator_points_to_duty() -> None:
    result = load(EXAMPLES / "press_accumulator.hyc").check()
    notes = " ".join(steps_table(result, "metric").notes)
    assert "A1" in notes
    assert "circuitcheck duty" in notes
    assert "circuitcheck duty" in reports.as_text(result)
    (share,) = [f for f in result.findings if f.slug == "heat-share-high"]
    assert share.severity.value == "advice"
    assert "circuitcheck duty" in share.message


def test_without_a_store_nothing_is_said_of_it() -> None:
    result = load(EXAMPLES / "press.hyc").check()
    assert "circuitcheck duty" not in " ".join(steps_table(result, "metric").notes)
    assert all("circuitcheck duty" not in finding.message for finding in result.findings)
