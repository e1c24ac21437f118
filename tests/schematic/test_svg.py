"""The file: valid, at the right size, with groups that can be found, readable by a renderer."""

import subprocess
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from circuitcheck.basics.shapes import Arc, Circle, Line, Polygon, Text
from circuitcheck.schematic import draw
from circuitcheck.schematic.fonts import text_box, text_width
from circuitcheck.schematic.svg import Group, to_svg
from tests.schematic.machines import press

SVG = "{http://www.w3.org/2000/svg}"


def test_a_module_is_two_and_a_half_millimetres() -> None:
    root = ET.fromstring(to_svg([], (0, 0, 40, 20), "t", "d"))
    assert (root.get("width"), root.get("height")) == ("100.0mm", "50.0mm")
    assert root.get("viewBox") == "0.0 0.0 100.0 50.0"


def test_every_shape_is_written() -> None:
    shapes = (
        Line(((0, 0), (4, 0)), "dashed", "both"),
        Polygon(((0, 0), (1, 0), (0, 1)), filled=True),
        Circle((0, 0), 3),
        Arc((0, 0), 2, 30, -30, headed=True),
        Text((0, 0), "ø 5 < 6 & 7"),
    )
    root = ET.fromstring(to_svg([Group("part-X1", shapes, "note")], (0, 0, 9, 9), "t", "d"))
    (group,) = [g for g in root.iter(f"{SVG}g") if g.get("id") == "part-X1"]
    kinds = [child.tag.removeprefix(SVG) for child in group]
    assert kinds.count("polyline") == 1
    assert kinds.count("polygon") == 4  # the triangle, two heads of the line, one of the arc
    assert kinds.count("circle") == kinds.count("path") == kinds.count("text") == 1
    assert group.findtext(f"{SVG}title") == "note"
    assert group.findtext(f"{SVG}text") == "ø 5 < 6 & 7"


def test_names_that_xml_forbids_are_changed_and_kept_apart() -> None:
    groups = [Group("net-a b", ()), Group("net-a'b", ())]
    root = ET.fromstring(to_svg(groups, (0, 0, 9, 9), "t", "d"))
    ids = [g.get("id") for g in root.iter(f"{SVG}g") if g.get("id")]
    assert len(set(ids)) == 2
    assert all(" " not in name and "'" not in name for name in ids if name)


def test_the_press_has_a_group_for_each_part_and_line(tmp_path: Path, rsvg_convert: str) -> None:
    svg = draw(press(), "Press", ("Issue A",)).svg()
    root = ET.fromstring(svg)
    ids = {g.get("id") for g in root.iter(f"{SVG}g")}
    assert {"part-P1", "part-V1", "part-C1", "net-push", "net-pull", "title-block"} <= ids
    assert root.findtext(f"{SVG}title") == "Press"
    source, picture = tmp_path / "press.svg", tmp_path / "press.png"
    source.write_text(svg, encoding="utf-8")
    subprocess.run([rsvg_convert, str(source), "-o", str(picture)], check=True)
    assert picture.stat().st_size > 5000


def test_one_line_width_and_no_colour() -> None:
    svg = draw(press(), "Press").svg()
    widths = {e.get("stroke-width") for e in ET.fromstring(svg).iter() if e.get("stroke-width")}
    assert widths == {"0.25"}
    colours = {
        e.get(key) for e in ET.fromstring(svg).iter() for key in ("fill", "stroke") if e.get(key)
    }
    assert colours <= {"none", "#000000", "#ffffff"}


def test_text_widths_come_from_the_font() -> None:
    # 0.667 + 0.556 of the font size: A and 0 of the usual sans-serif faces
    assert text_width("A0", 2.0) == pytest.approx(2.0 * (0.667 + 0.556))
    assert text_width("A0", 2.0, bold=True) > text_width("A0", 2.0)
    left, _, right, _ = text_box(Text((10, 0), "A0", 2.0, "end"))
    assert right == 10
    assert right - left == pytest.approx(text_width("A0", 2.0))
