"""The page of numbers: made of the tests themselves, and it sees what they compare."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from tests.numbers.chapters import chapters

COMPARING = """
import numpy as np
import pytest

def test_near():
    assert [1.0, 2.0] == pytest.approx([1.0, 2.001], rel=1e-3)
    np.testing.assert_allclose(np.array([5.0]), 5.0 + 1e-9, rtol=1e-6)

def test_not_equal():
    assert 3.0 != pytest.approx(4.0)
"""


def test_every_file_is_there_once_and_every_comparison_of_laws_is_on_the_page(
    project: Path,
) -> None:
    listed = [file for chapter in chapters() for file in chapter.files]
    assert len(set(listed)) == len(listed)
    assert all((project / "tests" / file).is_file() for file in listed)
    for room in ("laws", "fluid", "components", "facts", "published"):
        for path in (project / "tests" / room).glob("test_*.py"):
            text = path.read_text(encoding="utf-8")
            many = text.count("approx(") + text.count("assert_allclose(") >= 7
            assert not many or f"{room}/{path.name}" in listed, f"{path.name}: no chapter"


def test_the_recorder_keeps_what_held_and_how_near_it_was(project: Path, tmp_path: Path) -> None:
    (tmp_path / "test_some.py").write_text(COMPARING, encoding="utf-8")
    done = subprocess.run(
        [
            sys.executable, "-m", "pytest", "-q", "-p", "tests.numbers.recorder",
            "-p", "no:cacheprovider", "--rootdir", str(tmp_path), "-c", "/dev/null",
            "--numbers", str(tmp_path / "kept.json"), str(tmp_path / "test_some.py"),
        ],
        cwd=project, check=False, capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    (kept,) = json.loads((tmp_path / "kept.json").read_text()).values()
    assert kept["figures"] == 3
    assert kept["test"] == "test_near"
    assert abs(kept["share"] - 1.0 / 2.001) < 1e-6
    assert (kept["found"], kept["wanted"]) == (2.0, 2.001)


def test_the_kept_page_is_of_these_chapters_and_none_is_outside(project: Path) -> None:
    page = (project / "shared/reference/numbers.md").read_text(encoding="utf-8")
    rows = [line.split("|") for line in page.splitlines() if line.startswith("| ")]
    shares = {cells[1].strip(): cells[3].strip() for cells in rows if ".py" in cells[1]}
    assert set(shares) == {file for chapter in chapters() for file in chapter.files}
    assert all(float(share.removesuffix(" %")) <= 100.0 for share in shares.values())
    assert ", 0 of them wrong or not solved" in page
