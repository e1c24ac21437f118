"""The report as PDF: pages of the paper asked for, nothing fetched, and what is missing said."""

from __future__ import annotations

import sys

import pytest

from circuitcheck.pipeline import Project
from circuitcheck.reports.page_pdf import PdfMissingError, as_pdf

try:
    import weasyprint
except (ImportError, OSError):
    pytest.skip(
        "WeasyPrint or its library Pango is not installed (Debian packages libpango-1.0-0, "
        "libpangoft2-1.0-0)",
        allow_module_level=True,
    )

MM = 96 / 25.4
"""Pixels of the renderer in a millimetre."""


def test_it_is_a_pdf(small: Project) -> None:
    assert small.report_pdf().startswith(b"%PDF-")


@pytest.mark.parametrize(("paper", "wide", "high"), [("A4", 210, 297), ("letter", 215.9, 279.4)])
def test_nothing_is_cut_off_at_the_edge_of_the_paper(
    press: Project, paper: str, wide: float, high: float
) -> None:
    page = press.report(numbers="left out", paper=paper)
    pages = weasyprint.HTML(string=page).render().pages
    assert len(pages) > 5
    for one in pages:
        assert one.width == pytest.approx(wide * MM, abs=1)
        assert one.height == pytest.approx(high * MM, abs=1)
        for box in one._page_box.descendants():
            if hasattr(box, "text") or box.element_tag in ("svg", "table"):
                assert box.position_x + box.width <= one.width - 14 * MM, box


def test_what_can_be_folded_away_is_only_there_where_asked_for(small: Project) -> None:
    assert len(small.report_pdf(numbers=True)) > len(small.report_pdf())


def test_nothing_outside_the_page_is_fetched(caplog: pytest.LogCaptureFixture) -> None:
    made = as_pdf('<p>x</p><img src="file:///etc/hostname"><img src="http://127.0.0.1:9/x.png">')
    assert made.startswith(b"%PDF-")
    assert "/etc/hostname" in caplog.text


def test_without_the_renderer_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    with pytest.raises(PdfMissingError, match="libpango"):
        as_pdf("<p>x</p>")
