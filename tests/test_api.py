"""The Python interface, as a script or a notebook uses it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import networkx as nx
import pytest

import circuitcheck as cc


@pytest.fixture(scope="module")
def press(project: Path) -> cc.Project:
    return cc.load(project / "examples" / "press.hyc")


def test_a_figure_of_a_part_in_a_step_is_a_quantity(press: cc.Project) -> None:
    points = press.solve()
    speed = points.step("approach")["C1"].speed
    # 23.1 L/min into a bore of 100 mm
    assert speed.to("mm/s").magnitude == pytest.approx(49.1, abs=0.5)
    assert points.step("squeeze")["P1"].shaft_power.to("kW").magnitude > 8


def test_a_part_over_all_steps_is_an_array(press: cc.Project) -> None:
    speeds = press.solve()["C1"].speed.to("mm/s").magnitude
    assert speeds.shape == (5,)
    assert speeds[1] > 0 > speeds[4]


def test_an_unknown_value_or_step_names_what_there_is(press: cc.Project) -> None:
    with pytest.raises(AttributeError, match="shaft power"):
        _ = press.solve().step("press")["P1"].torqe
    with pytest.raises(KeyError):
        press.point("pres")


def test_circuit_and_graph_are_open_to_other_tools(press: cc.Project) -> None:
    assert isinstance(press.graph, nx.MultiGraph)
    assert press.graph.nodes["C1"]["part"].figure("bore") == pytest.approx(0.1)
    assert press.circuit.title == "Pomace cake press"


def test_check_draw_and_report(press: cc.Project) -> None:
    assert press.check().solution is press.solve()
    assert "<svg" in press.draw()
    assert press.draw("press") != press.draw("idle")
    assert press.report().startswith("<!DOCTYPE html>")
    with pytest.raises(ValueError, match="'html', 'text' or 'json'"):
        press.report("pdf")


def test_a_text_with_mistakes_is_refused_with_all_of_them(tmp_path: Path) -> None:
    file = tmp_path / "wrong.hyc"
    file.write_text("parts\n  T1  tnk, 60 L\n  P1  pump, 16 cc/rev, 5 bars\n", encoding="utf-8")
    with pytest.raises(cc.CircuitError) as caught:
        cc.load(file)
    assert len(caught.value.findings) >= 2
    assert "did you mean 'tank'?" in str(caught.value)
    assert f"{file}:2:7" in str(caught.value)


def test_a_missing_file_is_refused_in_words(tmp_path: Path) -> None:
    with pytest.raises(cc.CircuitError, match="cannot be read"):
        cc.load(tmp_path / "nothing.hyc")


def test_a_parsed_text_keeps_its_mistakes_as_values() -> None:
    made = cc.parse("parts\n  T1  tnk, 60 L\n")
    assert not made.understood
    assert made.mistakes
    assert made.check().circuit is None
    with pytest.raises(cc.CircuitError):
        made.solve()


def test_importing_the_package_loads_nothing_heavy(project: Path) -> None:
    code = (
        "import sys, circuitcheck, circuitcheck.pipeline\n"
        "print(sorted({'numpy', 'scipy', 'pint', 'networkx', 'lark'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=project, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


def test_the_public_names_are_the_promised_ones() -> None:
    assert set(cc.__all__) <= set(dir(cc))
    with pytest.raises(AttributeError, match="no attribute 'slove'"):
        _ = cc.slove
