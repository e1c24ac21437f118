"""What hangs on pressures that nothing decides is not told: no flow, no power, no heat."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest

from circuitcheck import reports
from circuitcheck.pipeline import Project, parse
from circuitcheck.reports import result_json
from circuitcheck.reports.terminal import Sheet
from circuitcheck.schematic.readings import values_of
from circuitcheck.studies.cycle import NoDutyError

RING = """
circuit "ring"
oil ISO VG 46, at 50 degC
parts
  E1  electric motor, 5 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1
  F1  filter, 10 um, 60 L/min at 0.5 bar
  Z1  throttle, diameter 3 mm
{more_parts}
lines
  from P1 P through F1 to Z1 in
  from Z1 out to P1 S
{more_lines}
cycle
  step run, 10 s
claims "sheet"
  P1 flow 23.2 L/min, in run, within 3 %
  heat 20 kW, in run, at most
"""

BESIDE = {
    "more_parts": "  T2 tank, 40 L\n  P2 pump, fixed, 8 cc/rev, 1450 rpm\n  R2 relief, set 100 bar",
    "more_lines": "  from T2 to P2 S\n  from P2 P to R2 P\n  from R2 T to T2",
}


def ring(**more: str) -> Project:
    return parse(RING.format(**{"more_parts": "", "more_lines": ""} | more))


def test_a_ring_without_a_tank_tells_no_flow_and_no_power() -> None:
    (point,) = ring().solve()
    for name in ("P1", "F1", "Z1"):
        state = point[name]
        assert state.state == "indeterminate"
        assert math.isnan(state.values["flow"])
        assert math.isnan(state.loss)
        assert all(math.isnan(port.flow) for port in state.ports.values())
    assert math.isnan(point["P1"].values["pressure"])
    assert math.isnan(point["E1"].values["power"])
    assert math.isnan(point.totals.input)
    assert math.isnan(point.totals.loss)
    # what does hold is told: the speed that the drive holds
    assert point["P1"].values["speed"] == pytest.approx(1450 * math.pi / 30)


def test_a_circuit_beside_it_keeps_its_figures() -> None:
    (point,) = ring(**BESIDE).solve()
    assert math.isnan(point["P1"].values["flow"])
    assert point["P2"].values["flow"] > 1e-4
    assert point["R2"].values["pressure"] == pytest.approx(100e5, rel=0.1)
    assert point["R2"].loss > 1000.0
    # at the ports too: only the junctions of the ring have no pressure
    assert point["R2"].ports["P"].pressure == pytest.approx(100e5, rel=0.1)
    assert point["P2"].ports["S"].pressure == 0.0
    assert math.isnan(point["P1"].ports["P"].pressure)


def test_in_a_volume_that_is_shut_and_at_rest_only_the_pressure_is_unknown() -> None:
    more = {
        "more_parts": BESIDE["more_parts"] + "\n  F9 filter, 10 um, 60 L/min at 0.5 bar,"
        " in plugged\n  Z9 throttle, diameter 2 mm, out plugged",
        "more_lines": BESIDE["more_lines"] + "\n  from F9 out to Z9 in",
    }
    (point,) = ring(**more).solve()
    assert point["Z9"].values["flow"] == 0.0
    assert point["Z9"].loss == 0.0


def test_every_form_shows_that_it_is_not_known() -> None:
    result = ring().check()
    data = result_json.as_data(result)
    (step,) = data["steps"]
    pump = next(part for part in step["components"] if part["name"] == "P1")
    assert pump["values"]["flow_m3_per_s"] is None
    assert pump["loss_W"] is None
    assert step["totals"]["loss_W"] is None
    assert "NaN" not in json.dumps(data)
    assert result.claims
    assert all(verdict.computed is None for verdict in result.claims)


def test_the_drawing_shows_a_mark_in_place_of_figures() -> None:
    project = ring()
    (point,) = project.solve()
    texts = [value.text for value in values_of(project.circuit, point)]
    assert texts
    assert set(texts) == {"?"}


def test_variations_have_no_figure_there() -> None:
    found = ring().vary({"P1 displacement": "10 to 20 cc/rev, 3 points"})
    assert np.isnan(found.si("P1 flow")).all()
    assert np.isnan(found.si("heat")).all()


def test_what_has_no_value_has_no_slopes() -> None:
    with pytest.raises(ValueError, match="'P1 flow' has no value in step run"):
        ring().sensitivities("P1 flow")


def test_the_tables_of_a_step_show_question_marks() -> None:
    sheet = Sheet(width=80)
    reports.write_solve(sheet, ring().solved())
    said = sheet.text()
    row = next(
        line for line in said.splitlines() if line.strip().startswith("P1 ") and "1450" in line
    )
    assert "indeterminate" in row
    assert row.count("?") >= 4
    assert "23.2" not in said.split("What the figures rest on")[0]
    assert "nan" not in said.split("Assumed")[0].split()


def test_a_duty_cycle_is_refused_where_power_is_not_known() -> None:
    with pytest.raises(NoDutyError, match="nothing decides the pressures at P1, F1"):
        ring().duty()
