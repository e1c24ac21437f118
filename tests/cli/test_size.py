"""``circuitcheck size``: what it answers, and the exit status."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


@pytest.fixture
def press(project: Path) -> Path:
    return project / "examples" / "press.hyc"


def test_a_size_that_meets_the_target_is_told(circuitcheck: Run, press: Path) -> None:
    answer = circuitcheck(
        "size", press, "--find", "C1 bore = 60 to 200 mm",
        "--target", "P1 P pressure 160 bar, in press, at most",
    )  # fmt: skip
    assert answer.status == 0, answer.err
    assert max(map(len, answer.out.splitlines())) <= 80
    told = " ".join(answer.out.split())
    assert "Met with C1 bore 105 mm." in told
    assert "To order: C1 bore 110 mm (second choice), next up." in told
    assert "ISO 3320, from memory" in told
    assert "176 bar (!)" in told
    assert "[rod-buckling]" in told  # the rules are asked about the new size


def test_what_cannot_be_is_told_with_the_binding_limit(circuitcheck: Run, press: Path) -> None:
    answer = circuitcheck("size", press, "--find", "C1 bore",
                          "--target", "C1 speed 60 mm/s, in press")  # fmt: skip
    assert answer.status == 1
    told = " ".join(answer.out.split())
    assert "No C1 bore in this range meets it." in told
    assert "best is 51.7 mm/s" in told
    assert "at its limit there: R1 open" in told
    assert "R1 set (1 % more: 1.6 % more)" in told


def test_answers_come_in_the_units_asked_for(circuitcheck: Run, press: Path) -> None:
    answer = circuitcheck("size", press, "--find", "R1 set = 2000 to 5000 psi", "--target",
                          "C1 force 190 kN, in squeeze, within 4 %", "--units", "inch")  # fmt: skip
    assert answer.status == 0
    assert "3600 psi" in answer.out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--find", "C1 boar", "--target", "C1 speed 60 mm/s, in press"), "did you mean 'bore'"),
        (("--find", "C1 bore", "--target", "C1 speed 60 mm/s"), "in which step?"),
        (("--find", "C1 bore"), "Missing option '--target'"),
        (("--find", "C1 bore = 3 mm", "--target", "C1 speed 60 mm/s, in press"), "needs a range"),
        (
            ("--find", "C1 seal leak", "--target", "C1 speed 60 mm/s, in press"),
            "seal leak no value",
        ),
    ],
)
def test_bad_input_is_said_in_words(
    circuitcheck: Run, press: Path, words: tuple[str, ...], said: str
) -> None:
    answer = circuitcheck("size", press, *words)
    assert answer.status == 2
    assert said in " ".join(answer.err.split())
    assert "Traceback" not in answer.err


def test_a_wrong_text_and_a_cycle_without_durations(
    circuitcheck: Run, broken: Path, small: Path
) -> None:
    words = ("--find", "R1 set", "--target", "P1 P pressure 100 bar, in first")
    assert circuitcheck("size", broken, *words).status == 2
    answer = circuitcheck("size", small, "--find", "R1 set", "--target",
                          "heat 2 kW, over the cycle, at most")  # fmt: skip
    assert answer.status == 2
    assert "needs the duration" in " ".join(answer.err.split())
