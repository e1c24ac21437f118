"""Options of the report that concern the page and the PDF."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from .conftest import Answer

Run = Callable[..., Answer]


def test_numbers_are_opened_on_request(circuitcheck: Run, small: Path, tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    circuitcheck("report", small, "-o", page)
    assert "<details>" in page.read_text("utf-8")
    circuitcheck("report", small, "-o", page, "--numbers", "--paper", "letter")
    text = page.read_text("utf-8")
    assert "<details open>" in text
    assert "@page { size: letter; }" in text


def test_a_pdf_is_written(circuitcheck: Run, small: Path, tmp_path: Path) -> None:
    try:
        import weasyprint  # noqa: F401
    except (ImportError, OSError):
        pytest.skip("WeasyPrint or its library Pango is not installed")
    answer = circuitcheck("report", small, "-o", tmp_path / "page.pdf")
    assert "page.pdf written" in answer.out
    assert answer.err == ""
    assert (tmp_path / "page.pdf").read_bytes().startswith(b"%PDF-")


def test_without_the_renderer_it_says_what_to_install(
    circuitcheck: Run, small: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    answer = circuitcheck("report", small, "-o", tmp_path / "page.pdf")
    assert answer.status == 2
    assert "pip install 'circuitcheck[pdf]'" in answer.err
    assert not (tmp_path / "page.pdf").exists()
