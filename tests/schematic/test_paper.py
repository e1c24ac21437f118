"""Sheets of paper: sizes, frame, a module that fits, the title block in its corner."""

from __future__ import annotations

import itertools
import xml.etree.ElementTree as ET

import pytest

from circuitcheck.schematic import draw
from circuitcheck.schematic.paper import SIZES, fitted, paper_for
from tests.schematic.machines import press

SVG = "{http://www.w3.org/2000/svg}"


def test_every_size_is_half_of_the_next_one() -> None:
    # ISO 216: the long side of a size is the short side of the next, A0 has one square metre
    names = ["A0", "A1", "A2", "A3", "A4"]
    for large, small in itertools.pairwise(names):
        assert SIZES[small][1] == SIZES[large][0]
        assert SIZES[small][0] == pytest.approx(SIZES[large][1] / 2, abs=1)
    assert SIZES["A0"][0] * SIZES["A0"][1] == pytest.approx(1e6, rel=0.001)


def test_the_smallest_sheet_that_holds_the_drawing_is_taken() -> None:
    assert paper_for("fit", (0, 0, 60, 60)).name == "A4"
    assert paper_for("fit", (0, 0, 120, 60)).name == "A3"
    assert paper_for("fit", (0, 0, 120, 60)).module == 2.5


def test_a_drawing_too_large_for_its_sheet_gets_a_smaller_module() -> None:
    paper = paper_for("A3, landscape", (0, 0, 300, 100))
    assert (paper.wide, paper.high) == (420.0, 297.0)
    x0, _, x1, _ = paper.inside
    assert 1.0 < paper.module < 2.5
    assert 300 * paper.module <= x1 - x0


def test_a_drawing_lies_inside_the_frame() -> None:
    box = (-10.0, -20.0, 90.0, 40.0)
    paper = paper_for("A3, landscape", box)
    fit = fitted(paper, box)
    x0, y0, x1, y1 = paper.inside
    assert fit.shift[0] + box[0] * paper.module >= x0
    assert fit.shift[1] + box[1] * paper.module >= y0
    assert fit.shift[0] + box[2] * paper.module == pytest.approx(x1)
    assert fit.shift[1] + box[3] * paper.module == pytest.approx(y1)


def test_the_file_has_the_size_of_the_sheet_and_says_it() -> None:
    root = ET.fromstring(draw(press(), "Press").svg("A4"))
    assert (root.get("width"), root.get("height")) == ("210.0mm", "297.0mm")
    texts = [t.text for t in root.iter(f"{SVG}text")]
    assert "A4" in texts
    assert any(t and t.endswith(" mm") for t in texts)
    assert "I" not in texts  # the grid leaves I and O out (ISO 5457)


def test_an_unknown_size_is_refused_with_those_there_are() -> None:
    with pytest.raises(ValueError, match="no sheet A9; there are A4, A3"):
        draw(press(), "Press").svg("A9")
