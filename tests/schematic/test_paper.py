"""Sheets of paper: sizes, frame, a module that fits, the title block in its corner."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.basics.shapes import Box, Line, Text, bounds_of
from circuitcheck.circuit.heads import BLOCK as WORDS
from circuitcheck.schematic import draw
from circuitcheck.schematic.fonts import text_box
from circuitcheck.schematic.paper import SIZES, Paper, field_at, fitted, paper_for
from circuitcheck.schematic.title_block import WIDTH, Titles, title_block, title_fields
from tests.schematic.machines import machine, press

TITLES = Titles("Press", ("Oil ISO VG 46", "Drawn at rest"))
SVG = "{http://www.w3.org/2000/svg}"


def test_every_size_is_half_of_the_next_one() -> None:
    # ISO 216: the long side of a size is the short side of the next, A0 has one square metre
    names = ["A0", "A1", "A2", "A3", "A4"]
    for large, small in itertools.pairwise(names):
        assert SIZES[small][1] == SIZES[large][0]
        assert SIZES[small][0] == pytest.approx(SIZES[large][1] / 2, abs=1)
    assert SIZES["A0"][0] * SIZES["A0"][1] == pytest.approx(1e6, rel=0.001)


def test_the_drawing_space_is_that_of_the_standard() -> None:
    """Width and height of the drawing space by ISO 5457:1999, table 1 [mm] (from memory)."""
    spaces = {"A4": (180, 277), "A3": (277, 390), "A2": (400, 564), "A1": (574, 811),
              "A0": (821, 1159)}  # fmt: skip
    for name, space in spaces.items():
        upright = name == "A4"
        wide, high = SIZES[name] if upright else SIZES[name][::-1]
        x0, y0, x1, y1 = Paper(name, wide, high).inside
        assert (x1 - x0, y1 - y0) == (space if upright else space[::-1])


def test_the_grid_has_the_number_of_fields_of_the_standard() -> None:
    """Fields along and across the sheet by ISO 5457:1999, table 2 (from memory)."""
    for name, (along, across) in {
        "A4": (6, 4), "A3": (8, 6), "A2": (12, 8), "A1": (16, 12), "A0": (24, 16)
    }.items():  # fmt: skip
        wide, high = SIZES[name][::-1]
        texts = [s.content for s in Paper(name, wide, high).frame() if isinstance(s, Text)]
        columns = {t for t in texts if t.isdigit()}
        assert (len(columns), len(set(texts) - columns)) == (along, across), name


def test_a_place_has_the_name_of_its_field() -> None:
    paper = Paper("A3", 420, 297)
    assert field_at(paper, 21, 11) == "A1"
    assert field_at(paper, 409, 286) == "F8"
    assert field_at(paper, 211, 148) == "C5"  # right of the centring mark, above the other one


def test_the_smallest_sheet_that_holds_the_drawing_is_taken() -> None:
    assert paper_for("fit", (0, 0, 60, 60), TITLES).name == "A4"
    assert paper_for("fit", (0, 0, 120, 60), TITLES).name == "A3"
    assert paper_for("fit", (0, 0, 120, 60), TITLES).module == 2.5


def test_a_drawing_too_large_for_its_sheet_gets_a_smaller_module() -> None:
    paper = paper_for("A3, landscape", (0, 0, 300, 100), TITLES)
    assert (paper.wide, paper.high) == (420.0, 297.0)
    x0, _, x1, _ = paper.inside
    assert 1.0 < paper.module < 2.5
    assert 300 * paper.module <= x1 - x0


@pytest.mark.parametrize("box", [(-10, -20, 90, 40), (0, 0, 60, 110), (0, 0, 300, 20)])
@pytest.mark.parametrize("said", ["A3, landscape", "A3, portrait", "A4", "fit"])
def test_a_drawing_lies_inside_the_frame_and_clear_of_the_title_block(box: Box, said: str) -> None:
    paper = paper_for(said, box, TITLES)
    fit = fitted(paper, box, TITLES)
    x0, y0, x1, y1 = paper.inside
    left, top = (fit.shift[k] + box[k] * paper.module for k in (0, 1))
    right, bottom = (fit.shift[k] + box[k + 2] * paper.module for k in (0, 1))
    assert x0 <= left < right <= x1 + 1e-9
    assert y0 <= top < bottom <= y1 + 1e-9
    bx0, by0, bx1, by1 = (2.5 * k for k in bounds_of(fit.block))
    assert (bx1, by1) == pytest.approx((x1, y1))  # lower right corner of the drawing space
    assert bx1 - bx0 == pytest.approx(180)  # ISO 7200, from memory
    assert right <= bx0 + 1e-9 or bottom <= by0 + 1e-9


def test_a_sheet_has_every_field_that_a_title_block_needs() -> None:
    """Mandatory fields of ISO 7200:2004 (from memory); what is not known stays open."""
    said = {"owner": "Orchard Works", "approved": "B. Birch"}
    titles = Titles("Press", ("Oil ISO VG 46",), title_fields(said, "B")).for_paper()
    assert {"Legal owner", "Document number", "Date of issue", "Sheet", "Approved by",
            "Created by", "Document type"} <= {name for name, _ in titles.fields}  # fmt: skip
    given = dict(titles.fields)
    assert (given["Legal owner"], given["Issue"], given["Created by"]) == ("Orchard Works", "B", "")


TEXTS = st.text("ABCabc 0-", min_size=1, max_size=60).filter(str.strip)


@given(TEXTS, st.lists(TEXTS, max_size=4), st.dictionaries(st.sampled_from(WORDS), TEXTS))
def test_no_text_of_the_title_block_meets_a_line_or_another(
    title: str, rows: list[str], said: dict[str, str]
) -> None:
    titles = Titles(title, tuple(rows), title_fields(said, "B"))
    for whole, width in ((titles, 0.0), (titles.for_paper(), WIDTH)):
        shapes, block = title_block(whole, 0.0, 0.0, width)
        boxes = [text_box(shape) for shape in shapes if isinstance(shape, Text)]
        lines = [s.bounds() for s in shapes if isinstance(s, Line)]
        for k, (x0, y0, x1, y1) in enumerate(boxes):
            assert block[0] <= x0 < x1 <= block[2] + 1e-6
            for ax, ay, bx, by in [*lines, *boxes[k + 1 :]]:
                apart = x1 <= ax + 1e-6 or bx <= x0 + 1e-6 or y1 <= ay + 1e-6 or by <= y0 + 1e-6
                assert apart


def test_the_file_has_the_size_of_the_sheet_and_says_it() -> None:
    root = ET.fromstring(draw(press(), "Press").svg("A4"))
    assert (root.get("width"), root.get("height")) == ("210.0mm", "297.0mm")
    texts = [t.text for t in root.iter(f"{SVG}text")]
    assert "A4" in texts
    assert any(t and t.endswith(" mm") for t in texts)
    assert "I" not in texts  # the grid leaves I and O out (ISO 5457)


def test_an_unknown_size_is_refused_with_those_there_are() -> None:
    drawing = draw(press(), "Press")
    with pytest.raises(ValueError, match="no sheet A9; there are A4, A3"):
        drawing.svg("A9")
    with pytest.raises(ValueError, match="no sheet poster; there are A4"):
        drawing.svg("poster, landscape")


def test_sheets_of_countries_with_inches_are_known_but_never_chosen() -> None:
    paper = paper_for("letter, portrait", (0, 0, 60, 60), TITLES)
    assert (paper.name, paper.wide, paper.high) == ("letter", 215.9, 279.4)
    assert paper_for("fit", (0, 0, 60, 60), TITLES).name == "A4"


def test_a_sheet_on_which_letters_get_too_small_is_told() -> None:
    wide = machine(["holding", "cylinder", "motor", "locked"] * 3, extras=["gauge"])
    drawing = draw(wide, "Machine")
    assert drawing.cramped("fit") == drawing.cramped("") == ""
    told = drawing.cramped("A4")
    assert "On A4 a module is only" in told
    assert re.search(r"A[0-2] holds it at 2\.50 mm", told)
