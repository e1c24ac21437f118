"""``circuitcheck sensitivity``: what counts most comes first, with the slope of whole solutions."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from circuitcheck.pipeline import parse
from tests.press_text import THROTTLE_STAND

Run = Callable[..., Any]

CIRCUIT = THROTTLE_STAND.replace("set 160 bar", "set {set} bar")


@pytest.fixture
def circuit(tmp_path: Path) -> Path:
    file = tmp_path / "stand.hyc"
    file.write_text(CIRCUIT.format(set=100), encoding="utf-8")
    return file


def test_a_table_for_each_step_what_counts_most_first(circuitcheck: Run, circuit: Path) -> None:
    answer = circuitcheck("sensitivity", circuit, "P1 P pressure")
    assert (answer.status, answer.err) == (0, "")
    assert max(map(len, answer.out.splitlines())) <= 80
    tables = re.split(r"^P1 P pressure is [\d.]+ bar in ", answer.out, flags=re.M)
    assert [table.split("\n", 1)[0] for table in tables[1:]] == ["cold", "warm"]
    for table in tables[1:]:
        shares = [abs(float(share)) for share in re.findall(r"([-+][\d.]+) %\n", table)]
        assert len(shares) > 3
        assert shares == sorted(shares, reverse=True)
        assert table.split("\n")[3].split()[:2] == ["R1", "set"]


def test_the_change_per_10_bar_is_that_of_two_solutions(circuitcheck: Run, circuit: Path) -> None:
    answer = circuitcheck("sensitivity", circuit, "R1  flow", "R1 set", "--step", "warm")
    found = re.search(r"R1 set\s+100 bar\s+(-[\d.]+) L/min\s+10 bar", answer.out)
    assert found, answer.out

    def flow(bar: float) -> float:
        point = parse(CIRCUIT.format(set=bar)).point("warm")
        return 60e3 * point.parts["R1"].values["flow"]

    # the middle of the difference bends a little over 2 bar
    assert float(found[1]) == pytest.approx(10 * (flow(101) - flow(99)) / 2, rel=3e-3)


def test_json_is_in_si(circuitcheck: Run, circuit: Path) -> None:
    said = ("P1 P pressure", "R1 set", "oil temperature", "--step", "warm", "--format", "json")
    data = json.loads(circuitcheck("sensitivity", circuit, *said).out)
    (step,) = data["steps"]
    assert (data["result"], step["step"], step["unit"]) == ("P1 P pressure", "warm", "Pa")
    rows = {row["figure"]: row for row in step["figures"]}
    assert rows["R1 set"]["value"] == pytest.approx(100e5)
    share = rows["R1 set"]["slope"] * 100e5 / step["value"]
    assert rows["R1 set"]["share"] == pytest.approx(share)
    assert 0.5 < share < 1.5
    assert rows["oil temperature"]["unit"] == "degC"


def test_inch_units_give_round_changes_in_them(circuitcheck: Run, circuit: Path) -> None:
    answer = circuitcheck(
        "sensitivity", circuit, "P1 P pressure", "R1 set", "oil temperature", "--units", "inch"
    )
    assert re.search(r"R1 set\s+1450 psi\s+\+[\d.]+ psi\s+100 psi", answer.out)
    assert re.search(r"oil temperature\s+140 °F\s+-?[\d.]+ psi\s+10 °F", answer.out)


def test_a_result_that_nothing_moves_is_said_so(circuitcheck: Run) -> None:
    answer = circuitcheck("sensitivity", "examples/lift.hyc", "C1 speed", "--step", "hold")
    assert answer.out.startswith("C1 speed is 0 mm/s in hold; no figure moves it\n")


def test_a_figure_that_stands_at_nothing_has_its_place(circuitcheck: Run, circuit: Path) -> None:
    answer = circuitcheck("sensitivity", circuit, "P1 P pressure", "--step", "warm")
    assert re.search(r"\n  T1 gas +0 bar +\+1 bar +1 bar\n", answer.out)
    assert answer.out.index("T1 gas") < answer.out.index("R1 override")


@pytest.mark.parametrize(
    ("said", "status", "hint"),
    [
        (("P1 P pressur",), 2, "did you mean 'pressure'?"),
        (("P1 P pressure", "R1 st"), 2, "did you mean 'set'?"),
        (("P1 P pressure", "--step", "worm"), 2, "did you mean 'warm'?"),
    ],
)
def test_slips_are_told_with_a_suggestion(
    said: tuple[str, ...], status: int, hint: str, circuitcheck: Run, circuit: Path
) -> None:
    answer = circuitcheck("sensitivity", circuit, *said)
    assert (answer.status, answer.out) == (status, "")
    assert hint in answer.err


def test_a_text_that_is_not_understood(circuitcheck: Run, tmp_path: Path) -> None:
    file = tmp_path / "wrong.hyc"
    file.write_text("parts\n  P1 pumpp\n", encoding="utf-8")
    answer = circuitcheck("sensitivity", file, "heat")
    assert (answer.status, answer.out) == (2, "")
    assert "pumpp" in answer.err
