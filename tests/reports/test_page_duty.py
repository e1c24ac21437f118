"""The chapters of the report on the duty cycle and the curves of the pumps."""

from __future__ import annotations

import re

import pytest

from circuitcheck.pipeline import Project, parse
from circuitcheck.reports import page_duty
from circuitcheck.reports.duty_text import tables

from .conftest import SMALL


def chapter(page: str, key: str) -> str:
    """Give the HTML of a chapter, nothing where it is left out."""
    found = re.search(rf'<section id="{key}".*?</section>', page, re.DOTALL)
    return found[0] if found else ""


def test_the_chapter_has_the_tables_of_the_duty_cycle(press: Project) -> None:
    duty = press.duty()
    told = chapter(press.report(numbers="left out"), "duty")
    made = list(tables(duty, "metric"))
    assert len(made) >= 4
    for table in made:
        assert f"<caption>{table.caption}</caption>" in told
    assert duty.heat.degC is not None
    assert f"The oil settles at {duty.heat.degC:.1f} °C." in told
    assert "All figures with oil ISO VG 46 at" in told


def test_without_any_time_there_is_no_chapter(small: Project) -> None:
    assert chapter(small.report(), "duty") == ""


def test_where_a_step_has_no_time_one_sentence_says_so() -> None:
    text = f"{SMALL}cycle\n  step idle, 5 s\n  step work\n"
    told = chapter(parse(text).report(), "duty")
    assert "how long does step work last?" in told
    assert told.count("<p>") == 1
    assert "<table" not in told


def test_without_matplotlib_the_tables_stand_alone(
    press: Project, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(page_duty, "can_plot", lambda: False)
    page = press.report(numbers="left out")
    assert "<table" in chapter(page, "duty")
    assert "<svg" not in chapter(page, "duty")
    assert chapter(page, "curves") == ""


def test_pictures_of_curves_are_of_this_page(press: Project) -> None:
    """Their styles, ids and metadata touch nothing else on it."""
    pytest.importorskip("matplotlib")
    page = press.report(numbers="left out")
    body = page.partition("<body>")[2]
    assert "<style" not in body
    assert "<metadata" not in body
    assert chapter(page, "duty").count("<svg ") == 2
    assert "P1: flow over pressure" in chapter(page, "curves")
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    used = set(re.findall(r'href="#([^"]+)"', body)) | set(re.findall(r"url\(#([^)]+)\)", body))
    assert used <= set(ids)
    # the properties of the rule that stood in the picture hold in it still
    assert "stroke-linejoin: round" in chapter(page, "curves")


def test_the_same_text_gives_the_same_page(press: Project) -> None:
    assert press.report(numbers="left out") == press.report(numbers="left out")
