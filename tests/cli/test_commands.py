"""The commands: what they answer, and the exit status that scripts go by."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from circuitcheck import pipeline
from circuitcheck.cli._status import status_of, worst
from circuitcheck.components import kinds
from circuitcheck.rules import catalogue

Run = Callable[..., Any]


def test_check_of_a_wrong_circuit_ends_with_one(circuitcheck: Run, project: Path) -> None:
    answer = circuitcheck("check", project / "examples" / "wrong.hyc")
    assert answer.status == 1
    assert "error:" in answer.out
    assert answer.err == ""


def test_check_of_a_sound_circuit_ends_with_zero(circuitcheck: Run, project: Path) -> None:
    answer = circuitcheck("check", project / "examples" / "press.hyc")
    assert answer.status == 0
    assert "no errors" in answer.out


def test_check_of_a_mistake_ends_with_two_and_shows_the_line(
    circuitcheck: Run, broken: Path
) -> None:
    answer = circuitcheck("check", broken)
    assert answer.status == 2
    assert f"{broken}:6:23:" in answer.out
    assert "did you mean 'bar'?" in answer.out


def test_check_takes_several_files_and_ends_with_the_worst(
    circuitcheck: Run, broken: Path, project: Path
) -> None:
    answer = circuitcheck("check", project / "examples" / "press.hyc", broken)
    assert answer.status == 2
    assert "press.hyc: no errors" in " ".join(answer.out.split())
    assert "broken.hyc: 1 error" in " ".join(answer.out.split())


def test_statuses_of_several_files() -> None:
    assert worst([0, 1, 3]) == 3
    assert worst([3, 2]) == 2
    assert worst([1, 0]) == 1
    assert worst([]) == 0


def test_a_step_that_is_not_solved_gives_three(small: Path) -> None:
    from dataclasses import replace

    result = pipeline.load(small).solved()
    assert status_of(result) == 0
    assert result.solution is not None
    result.solution.points[1] = replace(result.points[1], success=False)
    assert status_of(result) == 3


def test_solve_answers_with_the_operating_points(circuitcheck: Run, small: Path) -> None:
    answer = circuitcheck("solve", small)
    assert answer.status == 0
    assert "Step first, 5 s" in answer.out
    assert "Step second" in answer.out


def test_solve_of_one_step(circuitcheck: Run, small: Path) -> None:
    answer = circuitcheck("solve", small, "--step", "second")
    assert "Step second" in answer.out
    assert "Step first" not in answer.out


@pytest.mark.parametrize("command", ["check", "solve", "draw"])
def test_an_unknown_step_is_said_with_the_nearest(
    circuitcheck: Run, small: Path, command: str
) -> None:
    answer = circuitcheck(command, small, "--step", "secnod")
    assert answer.status == 2
    assert "did you mean 'second'?" in answer.err


def test_solve_in_inches_and_pounds(circuitcheck: Run, small: Path) -> None:
    assert "psi" in circuitcheck("solve", small, "--units", "inch").out
    assert "bar" in circuitcheck("solve", small).out


@pytest.mark.parametrize("command", ["check", "solve"])
def test_json_is_one_object_also_for_a_broken_text(
    circuitcheck: Run, small: Path, broken: Path, command: str
) -> None:
    assert json.loads(circuitcheck(command, small, "--format", "json").out)["solved"]
    answer = circuitcheck(command, broken, "--format", "json")
    assert answer.status == 2
    assert json.loads(answer.out)["understood"] is False


def test_solve_keeps_the_first_stream_clean_of_mistakes(circuitcheck: Run, broken: Path) -> None:
    answer = circuitcheck("solve", broken)
    assert answer.status == 2
    assert answer.out == ""
    assert "did you mean 'bar'?" in answer.err


def test_draw_writes_svg(circuitcheck: Run, small: Path, tmp_path: Path) -> None:
    target = tmp_path / "small.svg"
    assert circuitcheck("draw", small, "-o", target, "--step", "first").status == 0
    assert target.read_text("utf-8").lstrip().startswith(("<?xml", "<svg"))
    assert "<svg" in circuitcheck("draw", small).out


@pytest.mark.parametrize(
    ("ending", "begin"), [("html", "<!DOCTYPE html>"), ("json", "{"), ("txt", "Test")]
)
def test_report_goes_by_the_ending_of_its_file(
    circuitcheck: Run, small: Path, tmp_path: Path, ending: str, begin: str
) -> None:
    target = tmp_path / f"report.{ending}"
    answer = circuitcheck("report", small, "-o", target)
    assert f"{target} written" in answer.out
    assert target.read_text("utf-8").lstrip().startswith(begin)


def test_report_of_another_ending_is_refused(circuitcheck: Run, small: Path) -> None:
    answer = circuitcheck("report", small, "-o", "report.doc")
    assert answer.status == 2
    assert ".html" in answer.err


def test_report_without_a_file_says_which_circuit_it_took(circuitcheck: Run) -> None:
    answer = circuitcheck("report")
    assert answer.status == 0
    assert "press.hyc, a circuit that comes with circuitcheck" in answer.out
    for unit in ("bar", "L/min", "kW"):
        assert unit in answer.out


@pytest.mark.parametrize("word", sorted({kind.word for kind in kinds().values()}))
def test_every_kind_can_be_explained(circuitcheck: Run, word: str) -> None:
    answer = circuitcheck("explain", *word.split())
    assert answer.status == 0
    assert kinds()[word].text.split()[0] in answer.out
    for parameter in kinds()[word].parameters:
        assert parameter.name.split()[0] in answer.out
    assert max(map(len, answer.out.splitlines())) <= 80


def test_every_rule_can_be_explained(circuitcheck: Run) -> None:
    listed = circuitcheck("explain").out
    for slug, rule in catalogue().items():
        assert slug in listed
        assert rule.title in circuitcheck("explain", slug).out


def test_the_result_format_can_be_explained(circuitcheck: Run) -> None:
    assert "circuitcheck-result" in circuitcheck("explain", "json").out


def test_explaining_a_misspelt_name_names_the_nearest(circuitcheck: Run) -> None:
    answer = circuitcheck("explain", "releif")
    assert answer.status == 2
    assert "did you mean relief" in answer.err


def test_help_names_every_command(circuitcheck: Run) -> None:
    answer = circuitcheck("--help")
    for command in ("check", "solve", "draw", "report", "explain"):
        assert f"  {command} " in answer.out
        assert circuitcheck(command, "--help").status == 0


def test_a_misspelt_command_is_said(circuitcheck: Run) -> None:
    answer = circuitcheck("chekc")
    assert answer.status == 2
    assert "chekc" in answer.err
