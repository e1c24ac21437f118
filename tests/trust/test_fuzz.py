"""A bounded part of the fuzzing, the same at every run; the full form is a command.

python -m tests.trust.fuzz --inputs 1000000 --seed 1
python -m tests.trust.command_lines --lines 3000 --seed 1
"""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra.lark import from_lark
from lark import Lark

from circuitcheck.language.grammar import RULES, grammar_text
from tests.trust import command_lines, fuzz
from tests.trust.inputs import CHAPTERS, made
from tests.trust.stages import go

INPUTS = 1500
LINES = 40

pytestmark = pytest.mark.xdist_group("fuzz")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="limits and clocks of Linux")
def test_no_input_is_answered_by_a_traceback(project: Path) -> None:
    # in a process of its own: this one already holds what all other tests have loaded
    done = subprocess.run(
        [sys.executable, "-m", "tests.trust.fuzz", "--inputs", str(INPUTS), "--seed", "2026"],
        cwd=project, capture_output=True, text=True, check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    *told, _ = done.stdout.splitlines()
    by_level = Counter[str]()
    for line in told:
        count, *_, level = line.split()
        by_level[level] += int(count) if count.isdigit() else 0
    assert by_level["solve"] >= 10  # it is not refusals only
    assert by_level["whole"] >= 1


def test_inputs_are_known_by_their_numbers() -> None:
    assert made(7, 5) == made(7, 5) != made(8, 5)
    assert {made(1, number)[0] for number in range(3000)} == {
        "walked", "registry", "edited", "spliced", "flipped", "gentle",
    }  # fmt: skip


def test_the_campaign_finds_what_is_wrong(monkeypatch: pytest.MonkeyPatch) -> None:
    """A traceback, an endless loop, memory without end, and the end of the process."""

    def bad(data: bytes, level: str, _: object = None, begins: Callable[[], None] = list) -> str:
        begins()
        numbers = {made(3, number)[1]: number for number in range(8)}
        match numbers.get(data):
            case 1:
                raise ZeroDivisionError
            case 2:
                while True:
                    pass
            case 4:
                bytearray(600 * 2**20)
            case 6:
                os._exit(1)
        return level

    monkeypatch.setattr(fuzz, "go", bad)
    monkeypatch.setattr(fuzz, "BATCH", 2)
    monkeypatch.setattr(fuzz, "SECONDS", 0.2)
    total, failures = fuzz.campaign(3, 0, 8)
    assert [number for number, _ in failures] == [1, 2, 4, 6]
    for (_, told), word in zip(
        failures, ("ZeroDivision", "TooSlow", "MemoryError", "ended or hung"), strict=True
    ):
        assert word in told
    assert sum(total.values()) == 6  # the fifth is lost with the sixth


def test_no_command_line_is_answered_by_a_traceback() -> None:
    """A bounded part of `python -m tests.trust.command_lines`."""
    found = command_lines.campaign(seed=2026, lines=LINES)
    assert {status for _, status in found} >= {0, 2}  # it is not refusals only
    assert len({name for name, _ in found}) > 12


def test_the_campaign_of_command_lines_finds_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    def bad(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("circuitcheck.cli.group.main", bad)
    with pytest.raises(AssertionError, match="line 0 of seed 1"):
        command_lines.campaign(seed=1, lines=1)


PARSER = Lark(grammar_text(), parser="lalr", start=list(RULES))


@given(st.data(), st.sampled_from(sorted(CHAPTERS)))
@settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
def test_sentences_of_the_grammar_are_answered(data: st.DataObject, chapter: str) -> None:
    """Sentences that hypothesis makes from the grammar file, and shrinks where one fails."""
    sentence = data.draw(from_lark(PARSER, start=CHAPTERS[chapter]))
    go(f"{chapter}\n  {sentence}\n".encode("utf-8", "replace"), "read")


@pytest.mark.skipif(
    importlib.util.find_spec("atheris") is None, reason="no atheris for this system"
)
@pytest.mark.parametrize("level", ["read", "whole"])
def test_guided_fuzzing_runs(project: Path, tmp_path: Path, level: str) -> None:
    (tmp_path / "one").write_text("parts\n  T1 tank\n", encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "tests.trust.guided", level, str(tmp_path), "-runs=20"],
        cwd=project, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    assert "Done 20" in done.stderr
