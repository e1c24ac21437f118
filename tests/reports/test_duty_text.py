"""The duty cycle as people and programs read it."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from circuitcheck.basics.quantities import number_in
from circuitcheck.pipeline import load
from circuitcheck.reports.curves_csv import as_csv
from circuitcheck.reports.duty_json import dump_duty
from circuitcheck.reports.duty_text import write_duty
from circuitcheck.reports.terminal import Sheet
from circuitcheck.studies.duty import Duty

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def press() -> Duty:
    return load(EXAMPLES / "press.hyc").duty(hold=35.0)


def text_of(duty: Duty, units: str = "metric") -> str:
    sheet = Sheet()
    write_duty(sheet, duty, units)
    return sheet.text()


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_it_reads_at_80_columns(press: Duty, units: str) -> None:
    assert max(map(len, text_of(press, units).splitlines())) <= 80


def test_it_says_what_was_found(press: Duty) -> None:
    text = text_of(press)
    for words in ("whole cycle", "Where the energy goes", "Load of the drives", "Strokes",
                  "Oil in the tank", f"The oil settles at {press.degC:.1f} °C", "To hold 35 °C",
                  "further cooler of", "Walls of T1 are estimated"):  # fmt: skip
        assert words in text
    assert "nan" not in text


def test_shares_of_the_energy_add_up(press: Duty) -> None:
    text = text_of(press)
    table = text[text.index("Where the energy goes") : text.index("Load of the drives")]
    rows = [row.split() for row in table.splitlines() if row.strip().startswith("out")]
    total = sum(float(row[-3]) for row in rows)
    assert total == pytest.approx(press.flows.brought * press.time / 1e3, rel=0.01)


def test_units_are_those_asked_for(press: Duty) -> None:
    text = text_of(press, "inch")
    assert f"{press.degC * 1.8 + 32:.0f} °F" in text
    assert " hp" in text


def test_json_is_in_si_with_units_in_its_keys(press: Duty) -> None:
    data = json.loads(dump_duty(press, "press.hyc", "0"))
    assert data["format"] == "circuitcheck-duty"
    assert data["oil_temperature_is"] == "settles"
    assert data["heat"]["settles_degC"] == pytest.approx(press.degC)
    brought = sum(row["mean_power_W"] for row in data["energy"]["in"])
    out = sum(row["mean_power_W"] for row in data["energy"]["out"])
    assert brought == pytest.approx(out, rel=1e-9)
    assert data["drives"][0]["rms_W"] == pytest.approx(press.drives[0].rms)
    assert data["drives"][0]["electrical_W"] is None
    assert data["strokes"][0]["way_m"] == pytest.approx(0.42)
    assert data["heat"]["to_hold"]["oil_degC"] == 35.0
    assert len(data["heat"]["balance"]["oil_degC"]) == len(data["heat"]["balance"]["made_W"])


def test_csv_of_flows_and_charts(press: Duty) -> None:
    rows = list(csv.DictReader(io.StringIO(as_csv(press, "metric"))))
    out = sum(float(row["mean power [kW]"]) for row in rows if row["way"] == "out")
    assert out == pytest.approx(press.flows.brought / 1e3, rel=1e-5)
    chart = load(EXAMPLES / "press.hyc").curves("pump", "P1")
    rows = list(csv.DictReader(io.StringIO(as_csv(chart, "metric"))))
    assert {row["kind"] for row in rows} == {"curve", "load line", "point"}
    first = chart.curves[0]
    assert float(rows[0]["flow [L/min]"]) == pytest.approx(
        number_in(float(first.y[0]), "flow", "metric"), rel=1e-6
    )
    field = load(EXAMPLES / "press.hyc").curves("efficiency", "P1")
    rows = list(csv.DictReader(io.StringIO(as_csv(field, "metric"))))
    assert list(rows[0]) == ["speed [rpm]", "pressure difference [bar]", "efficiency [%]"]
    assert max(float(row["efficiency [%]"]) for row in rows) < 100.0
