"""Running the command line inside the tests' own process."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from circuitcheck.cli import main

SMALL = '''\
circuit "Test"
parts
  T1  tank, 60 L
  E1  electric motor, 11 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1
  R1  relief, set 210 bar, 60 L/min
lines
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T to T1
cycle
  step first, 5 s
  step second, oil at 20 degC
'''


@dataclass(frozen=True)
class Answer:
    """What a command said on its two streams, and its exit status."""

    status: int
    out: str
    err: str


@pytest.fixture
def circuitcheck(capsys: pytest.CaptureFixture[str]) -> Callable[..., Answer]:
    """Run a command as a person would type it."""

    def run(*words: str | Path) -> Answer:
        with pytest.raises(SystemExit) as ended:
            main([str(word) for word in words])
        said = capsys.readouterr()
        return Answer(int(ended.value.code or 0), said.out, said.err)

    return run


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A short circuit that is solved."""
    file = tmp_path / "small.hyc"
    file.write_text(SMALL, encoding="utf-8")
    return file


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    """A circuit with a mistake in its text."""
    file = tmp_path / "broken.hyc"
    file.write_text(SMALL.replace("210 bar", "210 bars"), encoding="utf-8")
    return file
