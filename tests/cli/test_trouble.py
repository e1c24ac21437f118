"""Trouble at the edges: files, folders, pipes, faults. Never a traceback, never a lost file."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from circuitcheck import pipeline

Run = Callable[..., Any]
COMMANDS = [["check"], ["solve"], ["draw"], ["report"]]


@pytest.mark.parametrize("command", COMMANDS, ids=lambda c: c[0])
def test_a_missing_file(circuitcheck: Run, tmp_path: Path, command: list[str]) -> None:
    answer = circuitcheck(*command, tmp_path / "nothing.hyc")
    assert answer.status == 2
    assert "cannot be read: no such file or directory" in _one_line(answer)


@pytest.mark.parametrize("command", COMMANDS, ids=lambda c: c[0])
def test_a_folder_in_place_of_a_file(
    circuitcheck: Run, tmp_path: Path, command: list[str]
) -> None:
    answer = circuitcheck(*command, tmp_path)
    assert answer.status == 2
    assert "cannot be read: is a directory" in _one_line(answer)


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read(circuitcheck: Run, small: Path) -> None:
    small.chmod(0)
    answer = circuitcheck("check", small)
    assert answer.status == 2
    assert "permission denied" in _one_line(answer)


@pytest.mark.parametrize(
    "data", [b"circuit \"caf\xe9\"\n", b"\xff\xfec\x00i\x00", b"\x00\x01\x02", b""],
    ids=["latin-1", "utf-16", "binary", "empty"],
)  # fmt: skip
def test_a_file_that_is_no_circuit(circuitcheck: Run, tmp_path: Path, data: bytes) -> None:
    file = tmp_path / "odd.hyc"
    file.write_bytes(data)
    answer = circuitcheck("check", file)
    assert answer.status == 2
    assert "error:" in answer.out
    assert "Traceback" not in answer.out + answer.err


def test_the_circuit_itself_is_never_overwritten(circuitcheck: Run, small: Path) -> None:
    before = small.read_bytes()
    link = small.with_name("link.html")
    link.symlink_to(small)
    for command, target in (("draw", small), ("report", link)):
        answer = circuitcheck(command, small, "-o", target)
        assert answer.status == 2
        assert "it is the circuit itself" in answer.err
    assert small.read_bytes() == before


@pytest.mark.parametrize(
    ("target", "why"), [("no/such/out.svg", "there is no folder"), (".", "it is a folder")]
)
def test_a_target_that_cannot_be_written(
    circuitcheck: Run, small: Path, tmp_path: Path, target: str, why: str
) -> None:
    answer = circuitcheck("draw", small, "-o", tmp_path / target)
    assert answer.status == 2
    assert why in answer.err
    assert len(answer.err.strip().splitlines()) == 1


def test_a_write_that_fails_leaves_the_old_file_and_no_litter(
    circuitcheck: Run, small: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "out.svg"
    target.write_text("old", encoding="utf-8")

    def full(self: Path, other: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    answer = circuitcheck("draw", small, "-o", target)
    assert answer.status == 2
    assert "no space left on device" in answer.err
    assert target.read_text("utf-8") == "old"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out.svg", "small.hyc"]


def test_a_file_that_stood_there_keeps_its_permissions(
    circuitcheck: Run, small: Path, tmp_path: Path
) -> None:
    target = tmp_path / "out.svg"
    target.write_text("old", encoding="utf-8")
    target.chmod(0o640)
    assert circuitcheck("draw", small, "-o", target).status == 0
    assert target.stat().st_mode & 0o777 == 0o640


def test_a_fault_of_the_program_is_called_so(
    circuitcheck: Run, small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(path: Path) -> pipeline.Project:
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(pipeline, "open_file", fails)
    answer = circuitcheck("check", small)
    assert answer.status == 70
    assert "this is a fault of circuitcheck" in answer.err
    assert "ZeroDivisionError: division by zero" in answer.err
    assert "Traceback" not in answer.err


def test_a_reader_that_stops_early_is_no_fault(project: Path) -> None:
    code = "import sys; from circuitcheck.cli import main; main()"
    started = subprocess.Popen(
        [sys.executable, "-c", code, "report"],
        cwd=project, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert started.stdout is not None
    assert started.stderr is not None
    started.stdout.readline()
    started.stdout.close()
    said = started.stderr.read()
    assert started.wait(timeout=60) == 0
    assert said == ""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full on this system")
def test_an_answer_that_finds_no_room_is_said(project: Path, small: Path) -> None:
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        done = subprocess.run(
            [sys.executable, "-m", "circuitcheck", "solve", small],
            cwd=project, stdout=full, stderr=subprocess.PIPE, text=True, check=False,
        )  # fmt: skip
    assert done.returncode == 2
    assert done.stderr.strip() == "Error: the answer cannot be written: no space left on device"


def test_a_terminal_without_special_letters_is_served(project: Path, small: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "circuitcheck", "solve", small],
        cwd=project, capture_output=True, check=False,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert b"bar" in done.stdout


@pytest.mark.parametrize("words", [["--help"], ["--version"], ["solve", "--help"]])
def test_help_and_version_load_no_heavy_library(project: Path, words: list[str]) -> None:
    code = (
        "import sys\nfrom circuitcheck.cli import main\n"
        f"try:\n    main({words})\nexcept SystemExit:\n    pass\n"
        "heavy = {'numpy', 'scipy', 'pint', 'networkx', 'lark', 'rich', 'jinja2'}\n"
        "print('loaded:', sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=project, capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1] == "loaded: []"


def _one_line(answer: Any) -> str:
    """What was said, lines joined."""
    return " ".join((answer.out + answer.err).split())
