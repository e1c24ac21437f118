"""What fuzzing has found, each as a test."""

from __future__ import annotations

import warnings
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from circuitcheck.basics.findings import Finding
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.varied import words_of
from circuitcheck.pipeline import open_file, parse
from circuitcheck.solver.asked import Results, find_result, find_subject
from circuitcheck.studies.chart import NoCurveError
from tests.cli.conftest import SMALL, Answer


def test_a_pump_that_a_stalled_motor_turns_has_no_curve(project: Path) -> None:
    """Its test speed would be zero: a warning of the program, and a curve of nothing."""
    stalled = open_file(project / "tests" / "published" / "WE-41.hyc")
    with warnings.catch_warnings():
        warnings.simplefilter("error", RuntimeWarning)
        with pytest.raises(NoCurveError, match="P2 turns in no step"):
            stalled.curves("pump", "P2")
        assert stalled.report("html")


def test_a_dollar_in_a_name_is_no_formula_of_a_picture() -> None:
    text = SMALL.replace("step first", r'step "$\undefined{"')
    assert parse(text).report("html")


def test_a_warning_of_pictures_is_not_told() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error", UserWarning)
        assert parse(SMALL.replace("step first", 'step "漢字"')).report("html")


def test_an_endless_figure_of_an_option_is_refused(
    circuitcheck: Callable[..., Any], tmp_path: Path
) -> None:
    file = tmp_path / "x.hyc"
    file.write_text(SMALL, encoding="utf-8")
    answer = circuitcheck("duty", file, "--hold", "9" * 400 + " degC")
    assert answer.status == 2
    assert "is too large a figure" in answer.err


@pytest.mark.parametrize("time", ["0 s", "1e-308 s", "0.9 ms"])
def test_a_step_that_lasts_no_time_is_refused(time: str) -> None:
    """A store filled within 1e-308 s took long to give no answer."""
    (said,) = parse(SMALL.replace("step first", f"step blink, {time}\n  step first")).mistakes
    assert said.message == "'duration' is too small"
    least = "more than 0" if time == "0 s" else "at least 0.001 s"
    assert said.remedy == f"'duration' of a step is {least}"


@pytest.mark.parametrize("opening", ["0 %", "5e-324 %"])
def test_a_throttle_that_is_shut_divides_nothing_by_nothing(opening: str) -> None:
    throttle = f"  TH1 throttle-check, diameter 6.7 mm, open {opening}\n"
    text = SMALL.replace("parts\n", f"parts\n{throttle}", 1)
    text = text.replace("lines\n", "lines\n  from P1 P to TH1 in\n  from TH1 out to T1\n", 1)
    with warnings.catch_warnings():
        warnings.simplefilter("error", RuntimeWarning)
        point = parse(text).solve().points[0]
    assert point.success
    assert point["TH1"].ports["in"].flow == pytest.approx(0.0, abs=1e-8)  # the check leaks


@pytest.mark.parametrize("line", [["sensitivity", "", "--step", "first"],
                                  ["sensitivity", "heat", "", "--step", "first"],
                                  ["why", "", "--step", "first"]])  # fmt: skip
def test_a_name_of_nothing_is_asked_for(
    circuitcheck: Callable[..., Answer], small: Path, line: list[str]
) -> None:
    name, *words = line
    answer = circuitcheck(name, small, *words)
    assert answer.status == 2
    assert "none is named" in answer.err


@pytest.mark.parametrize("name", ["press", "steering", "torque_limit", "planer"])
def test_every_result_that_a_kind_declares_may_be_asked_for(project: Path, name: str) -> None:
    """A part has some only where the text gives what they take: not known, and no traceback."""
    opened = open_file(project / "examples" / f"{name}.hyc")
    solution = opened.solve()
    assert solution.answer is not None
    results, unknown = Results(solution.answer), []
    for part in opened.circuit.parts.values():
        for measure in part.kind.measures:
            asked = f"{part.name} {measure.name}"
            findings: list[Finding] = []
            desk = Desk({}, set(), findings)
            subject = find_subject(desk, opened.circuit, words_of(asked, "", 1))
            assert subject is not None, findings
            values = results.of(subject)
            if find_result(desk, solution.answer, words_of(asked, "", 1)) is None:
                assert np.isnan(values).all()
                assert f"has no {measure.name} in this circuit" in findings[0].message
                unknown.append(asked)
    assert any(asked.endswith("level") for asked in unknown)


@pytest.mark.parametrize("command", ["why", "sensitivity"])
def test_a_result_that_a_part_has_not_is_told_with_those_it_has(
    circuitcheck: Callable[..., Answer], small: Path, command: str
) -> None:
    answer = circuitcheck(command, small, "P1 margin", "--step", "first")
    assert answer.status == 2
    assert "P1 has no margin in this circuit" in answer.err
    assert "it has: flow, pressure, speed" in answer.err


def test_the_tank_has_no_flow_at_a_port_without_a_letter(
    circuitcheck: Callable[..., Answer], small: Path
) -> None:
    answer = circuitcheck("why", small, "T1 flow", "--step", "first")
    assert answer.status == 2
    assert "'flow' is not something that can be checked" in answer.err


def test_a_result_that_is_nowhere_is_not_known_in_a_sweep(
    circuitcheck: Callable[..., Answer], small: Path
) -> None:
    vary = ("--vary", "R1 set = 100 to 200 bar, 3 points", "--result", "P1 margin")
    answer = circuitcheck("sweep", small, *vary, "--step", "first")
    assert answer.status == 0
    assert answer.out.count("?") == 6  # three rows, and the range of the column
