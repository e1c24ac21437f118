"""``circuitcheck spread``: tables that fit the screen, and the exit status."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


def test_bands_and_what_carries_them_are_told(circuitcheck: Run, project: Path) -> None:
    answer = circuitcheck("spread", project / "examples" / "press.hyc", "--runs", "300",
                          "--result", "P1 P pressure", "--step", "squeeze")  # fmt: skip
    assert answer.status == 0, answer.err
    assert max(map(len, answer.out.splitlines())) <= 80
    carried = next(x.split() for x in answer.out.splitlines() if x.split()[:2] == ["P1", "P"])
    assert carried[3] == "squeeze"
    assert float(carried[4]) == pytest.approx(203, abs=1)
    told = " ".join(answer.out.split())
    assert "P1 P pressure squeeze R1 set 100 % 100 %" in told
    assert "5 % of 210 bar common practice, no source" in told
    assert "ISO 3448: a grade is its middle plus and minus 10 %" in told


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (("--off", "R1 set"), 2, "says nothing; write: R1 set = 3 %"),
        (("--off", "R1 set = 5 mm"), 2, "does not say by how much"),
        (("--result", "P1 flwo"), 2, "did you mean 'flow'?"),
        (("--step", "frist"), 2, "did you mean 'first'?"),
    ],
)
def test_bad_input_is_said_in_words(
    circuitcheck: Run, small: Path, words: tuple[str, ...], status: int, said: str
) -> None:
    answer = circuitcheck("spread", small, *words)
    assert answer.status == status
    assert said in " ".join(answer.err.split())
    assert "Traceback" not in answer.err


def test_a_wrong_text_is_not_spread(circuitcheck: Run, broken: Path) -> None:
    assert circuitcheck("spread", broken).status == 2
