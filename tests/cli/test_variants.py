"""``circuitcheck variants``: side by side, what changed, findings gained and lost."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from circuitcheck.pipeline import load

Run = Callable[..., Any]


@pytest.fixture
def planer(project: Path) -> Path:
    return project / "examples" / "planer.hyc"


def test_variants_stand_side_by_side(circuitcheck: Run, planer: Path) -> None:
    answer = circuitcheck("variants", planer, "--result", "C1 speed", "--result", "heat")
    assert answer.status == 0, answer.err
    assert max(map(len, answer.out.splitlines())) <= 80
    told = answer.out
    plane = told[told.index("Step plane") : told.index("Step run_out")]
    row = next(line.split() for line in plane.splitlines() if line.split()[:1] == ["heat"])
    project = load(planer)
    names = [None, "meter_in", "bleed_off", "swinging"]
    losses = [
        (project if name is None else project.variant(name)).point("plane").totals.loss / 1e3
        for name in names
    ]
    shown = [float(word) for word in row[2:] if word[0].isdigit()]
    assert shown == pytest.approx(losses, rel=5e-3)
    assert "meter_in against as issued" in told
    gained = told[told.index("Findings gained with meter_in") : told.index("bleed_off against")]
    assert "meter-in-on-overrunning-load" in gained
    assert "changed: FC1 (flow)" in told
    assert "added: drain" in told


def test_one_variant_may_be_chosen(circuitcheck: Run, planer: Path) -> None:
    answer = circuitcheck("variants", planer, "--variant", "swinging")
    assert answer.status == 0
    assert "bleed_off" not in answer.out
    assert "energy lost" in answer.out


def test_files_are_set_side_by_side(circuitcheck: Run, small: Path, tmp_path: Path) -> None:
    other = tmp_path / "stronger.hyc"
    other.write_text(small.read_text("utf-8").replace("210 bar", "250 bar"), encoding="utf-8")
    answer = circuitcheck("variants", small, other, "--result", "P1 P pressure")
    assert answer.status == 0
    row = next(
        x.split() for x in answer.out.splitlines() if x.split()[:3] == ["P1", "P", "pressure"]
    )
    assert float(row[5]) > float(row[4]) > 200
    assert "stronger against small" in answer.out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "the text has no variants"),
        (("--variant", "fast"), "has no variant 'fast'; it has none"),
    ],
)
def test_a_text_without_variants(
    circuitcheck: Run, small: Path, words: tuple[str, ...], said: str
) -> None:
    answer = circuitcheck("variants", small, *words)
    assert answer.status == 2
    assert said in " ".join(answer.err.split())


def test_mistakes_are_said_in_words(circuitcheck: Run, planer: Path, broken: Path) -> None:
    assert circuitcheck("variants", broken, planer).status == 2
    answer = circuitcheck("variants", planer, "--result", "C1 sped")
    assert answer.status == 2
    assert "did you mean 'speed'?" in answer.err


def test_a_variant_that_is_wrong_shows_its_line(
    circuitcheck: Run, small: Path
) -> None:  # fmt: skip
    text = small.read_text("utf-8") + "variant x\n  parts\n    R1 relief, set 2 mm\nend variant\n"
    small.write_text(text, encoding="utf-8")
    told = circuitcheck("check", small)
    assert told.status in (0, 1)
    assert "variant x: 'set' is not given in mm" in told.out
    answer = circuitcheck("variants", small)
    assert answer.status == 2
    assert "small.hyc:16:20" in answer.err
    assert "'set' is not given in mm" in answer.err
