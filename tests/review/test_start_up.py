"""The start-up card: bands, their sources, points that a circuit calls for."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from circuitcheck import pipeline
from circuitcheck.review.case_drain import case_drains
from circuitcheck.review.expected import Expected, expected
from circuitcheck.review.start_up import start_up
from circuitcheck.solver.solve import solve

from .test_accepting import PRESS

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
GAUGED = PRESS.replace(
    "lines\n", "  G1  gauge, 0 to 250 bar, class 1 %\nlines\n  from P1 P to G1\n"
)


def readings(text: str) -> dict[str, Expected]:
    project = pipeline.parse(text)
    return {one.step: one for one in expected(project.circuit, project.solve())}


def test_over_the_relief_the_setting_makes_the_band() -> None:
    idle = readings(GAUGED)["idle"]
    assert idle.why == "R1 set"
    assert idle.low < idle.value < idle.high
    # 5 % of the pressure, widened by the class, 2.5 bar
    assert idle.high - idle.value == pytest.approx(0.05 * idle.value, rel=0.15)


def test_under_a_load_the_class_of_the_gauge_makes_the_band() -> None:
    out = readings(GAUGED)["out"]
    assert out.why == "class of the meter"
    assert out.high - out.value == pytest.approx(2.5e5, rel=0.05)


def test_without_a_gauge_one_is_to_be_put_at_the_pump() -> None:
    idle = readings(PRESS)["idle"]
    assert (idle.meter, idle.fits) == ("P1 P", False)


def test_points_are_those_of_the_circuit() -> None:
    project = pipeline.parse(PRESS)
    titles = [point.title for point in start_up(project.circuit, True)]
    assert "Precharge" not in titles
    assert "Cases filled" not in titles
    assert titles.index("Reliefs backed off") < titles.index("First oil") < titles.index("Settings")
    relief = next(p for p in start_up(project.circuit, True) if p.title == "Reliefs backed off")
    assert "R1" in relief.text


def test_the_case_drain_names_what_else_runs_into_it() -> None:
    project = pipeline.load(EXAMPLES / "travel_drive.hyc")
    drains = case_drains(project.circuit, project.solve())
    pump = [one for one in drains if one.part == "P1"]
    assert len(pump) == len(project.circuit.steps)
    for one in pump:
        assert one.limit == pytest.approx(5e-3 / 60)
        assert 0.0 < one.flow < 0.5 * one.theoretical
        assert {"R1 T", "R2 T"} & set(one.feeders)


def test_bands_are_those_of_machines_solved_one_by_one() -> None:
    """All sources are solved together; one at a time gives the same readings."""
    project = pipeline.parse(GAUGED)
    idle = readings(GAUGED)["idle"]
    relief = project.circuit.parts["R1"].figure("set")
    assert relief is not None
    shown = solve(project.circuit, {("R1", "set"): 1.05 * relief}).step("idle").parts["G1"]
    shift = shown.values["pressure"] - idle.value
    assert shift > 0.0
    # beside it only the class of the gauge (2.5 bar), the drive and the oil, which move little
    assert idle.high - idle.value == pytest.approx(float(np.hypot(shift, 2.5e5)), rel=0.02)


@pytest.mark.parametrize("cracks", ["", ", cracks 160 bar"])
def test_a_setting_that_a_step_orders_is_off_around_what_it_orders(cracks: str) -> None:
    """180 bar of the valve is no more than its setting without an order: 60 bar here."""
    text = GAUGED.replace("set 180 bar", f"proportional, set 180 bar{cracks}")
    idle = readings(text.replace("idle, V1 at centre", "idle, V1 at centre, R1 set 60 bar"))["idle"]
    assert idle.value == pytest.approx(60e5, rel=0.1)
    assert idle.why == "R1 set"
    assert idle.high - idle.value == pytest.approx(float(np.hypot(3e5, 2.5e5)), rel=0.15)
    assert idle.value - idle.low == pytest.approx(float(np.hypot(3e5, 2.5e5)), rel=0.15)
