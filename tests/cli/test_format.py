"""``circuitcheck format``: files laid out anew, checked, or left alone."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import SMALL, Answer

Run = Callable[..., Answer]


def test_a_file_is_laid_out_once(circuitcheck: Run, small: Path) -> None:
    small.chmod(0o640)
    first = circuitcheck("format", small)
    assert (first.status, first.out, first.err) == (0, f"{small}: laid out anew\n", "")
    text = small.read_text(encoding="utf-8")
    assert "\nparts\n  T1  tank, 60 L\n" in text
    assert "  step first,   5 s\n" in text
    assert stat.S_IMODE(small.stat().st_mode) == 0o640
    assert circuitcheck("format", small) == Answer(0, "", "")
    assert circuitcheck("format", "--check", small) == Answer(0, "", "")
    assert small.read_text(encoding="utf-8") == text
    assert [file.name for file in small.parent.iterdir()] == ["small.hyc"]


def test_check_writes_nothing(circuitcheck: Run, small: Path) -> None:
    answer = circuitcheck("format", "--check", small)
    assert (answer.status, answer.out) == (1, f"{small}: would be laid out anew\n")
    assert small.read_text(encoding="utf-8") == SMALL


def test_what_is_not_understood_stays_and_the_rest_is_laid_out(
    circuitcheck: Run, small: Path, broken: Path
) -> None:
    before = broken.read_bytes()
    answer = circuitcheck("format", broken, small)
    assert answer.status == 2
    assert answer.out == f"{small}: laid out anew\n"
    assert "'bars' is not a unit" in answer.err
    assert f"{broken}: not understood, left as it is" in answer.err
    assert broken.read_bytes() == before


def test_a_file_that_is_not_there_or_no_text(circuitcheck: Run, tmp_path: Path) -> None:
    answer = circuitcheck("format", tmp_path / "none.hyc")
    assert answer.status == 2
    assert "cannot be read: no such file" in answer.err
    odd = tmp_path / "odd.hyc"
    odd.write_bytes(b"parts\n  T1 tank # \xff\n")
    answer = circuitcheck("format", odd)
    assert (answer.status, odd.read_bytes()) == (2, b"parts\n  T1 tank # \xff\n")
    assert "not written in UTF-8" in answer.err


@pytest.mark.skipif(os.geteuid() == 0, reason="root writes into any folder")
def test_a_folder_that_cannot_be_written_is_said(circuitcheck: Run, small: Path) -> None:
    small.parent.chmod(0o500)
    answer = circuitcheck("format", small)
    small.parent.chmod(0o700)
    assert answer.status == 2
    assert "cannot be written" in answer.err


def test_a_disk_that_fails_leaves_the_old_file(
    circuitcheck: Run, small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    answer = circuitcheck("format", small)
    assert answer.status == 2
    assert "no space left on device" in answer.err
    assert small.read_text(encoding="utf-8") == SMALL
    assert [file.name for file in small.parent.iterdir()] == ["small.hyc"]


def test_a_link_stays_a_link(circuitcheck: Run, small: Path) -> None:
    link = small.with_name("link.hyc")
    link.symlink_to(small)
    assert circuitcheck("format", link).status == 0
    assert link.is_symlink()
    assert small.read_text(encoding="utf-8") != SMALL


def test_a_file_of_blocks_alone_is_laid_out(circuitcheck: Run, tmp_path: Path) -> None:
    file = tmp_path / "block.hyc"
    file.write_text(
        "block lift\nports P,T\nparts\nR1 relief,set 210 BAR\nlines\nfrom P to R1 P\n"
        "from R1 T to T\nend block\n", encoding="utf-8"
    )  # fmt: skip
    assert circuitcheck("format", file).status == 0
    assert file.read_text(encoding="utf-8") == (
        "block lift\n  ports P, T\n\n  parts\n    R1  relief, set 210 bar\n\n"
        "  lines\n    from P to R1 P\n    from R1 T to T\nend block\n"
    )
