"""The command that says why a figure is what it is."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from .conftest import Answer

Run = Callable[..., Answer]


def test_it_says_what_sets_a_result_at_80_columns(circuitcheck: Run, small: Path) -> None:
    answer = circuitcheck("why", small, "P1.P.pressure", "--step", "first")
    assert answer.status == 0
    assert max(map(len, answer.out.splitlines())) <= 80
    said = " ".join(answer.out.split())
    for words in (
        "P1 P pressure in step first:", "R1 (relief, open) stands open and holds the pressure",
        "Flow of R1:", "P1 (pump, delivering) gives what it moves", "What moves it", "R1 set",
    ):  # fmt: skip
        assert words in said


def test_blanks_serve_as_well_as_points(circuitcheck: Run, small: Path) -> None:
    one = circuitcheck("why", small, "P1.P.pressure", "--step", "first")
    other = circuitcheck("why", small, "P1", "P", "pressure", "--step", "first")
    assert one.out == other.out


def test_inches_are_given_where_they_are_asked_for(circuitcheck: Run, small: Path) -> None:
    answer = circuitcheck("why", small, "P1 flow", "--step", "first", "--units", "inch")
    assert "gpm" in answer.out
    assert "L/min" not in answer.out


def test_the_only_circuit_of_a_folder_need_not_be_named(
    circuitcheck: Run, small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(small.parent)
    assert "Why" not in circuitcheck("why", "R1.flow", "--step", "first").err
    assert "R1 flow in step first" in circuitcheck("why", "R1.flow", "--step", "first").out
    (small.parent / "other.hyc").write_text("", encoding="utf-8")
    answer = circuitcheck("why", "R1.flow", "--step", "first")
    assert answer.status == 2
    assert "other.hyc, small.hyc" in answer.err


def test_what_is_missing_or_wrong_is_said(circuitcheck: Run, small: Path, broken: Path) -> None:
    cases = {
        ("why", str(small), "R1 flow"): "one of: first, second",
        ("why", str(small)): "which result",
        ("why", str(small), "R1 flow", "--step", "frist"): "did you mean 'first'?",
        ("why", str(small), "R1 flwo", "--step", "first"): "did you mean",
        ("why", str(broken), "R1 flow"): "210 bars",
    }
    for words, said in cases.items():
        answer = circuitcheck(*words)
        assert answer.status == 2, words
        assert said in answer.err
        assert answer.out == ""


def test_programs_get_json(circuitcheck: Run, small: Path) -> None:
    words = ("why", small, "heat", "--step", "first", "--format", "json")
    read = json.loads(circuitcheck(*words).out)
    assert read["result"] == "heat"
    assert read["reason"]["formula"]["terms"][0]["text"] == "R1"
