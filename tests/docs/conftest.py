"""Pages of the manual, and a folder in which their commands are run."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

MANUAL = Path(__file__).resolve().parents[2] / "shared" / "docs"

sys.path.insert(0, str(MANUAL))  # fences.py stands beside the pages that it reads


@pytest.fixture
def workshop(tmp_path: Path, project: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder with the examples in it, as somebody has who follows a page."""
    (tmp_path / "examples").symlink_to(project / "examples")
    monkeypatch.chdir(tmp_path)
    return tmp_path
