"""The file keeps to SVG 1.1: elements, their attributes and places, ids, links.

The lists are those of the document type definition of SVG 1.1 (second edition, 2011), cut
down to the elements that are used (from memory).
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from circuitcheck import pipeline
from circuitcheck.basics.folders import folder
from circuitcheck.schematic import draw, from_circuit, symbol_sheet

SVG = "{http://www.w3.org/2000/svg}"
LINK = "{http://www.w3.org/1999/xlink}href"
PAINT = {"fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-linejoin"}
FONT = {"font-family", "font-size", "font-weight", "text-anchor"}
ALLOWED = {
    "svg": {"width", "height", "viewBox", "version", "baseProfile"},
    "g": {"id", "transform"} | PAINT | FONT,
    "a": {LINK, "target"},
    "title": set(),
    "desc": set(),
    "defs": set(),
    "rect": {"x", "y", "width", "height"} | PAINT,
    "circle": {"cx", "cy", "r"} | PAINT,
    "polyline": {"points"} | PAINT,
    "polygon": {"points"} | PAINT,
    "path": {"d"} | PAINT,
    "text": {"x", "y"} | PAINT | FONT,
}
NEEDED = {"rect": {"width", "height"}, "circle": {"r"}, "polyline": {"points"},
          "polygon": {"points"}, "path": {"d"}}  # fmt: skip
HOLDS = {"svg": set(ALLOWED), "g": set(ALLOWED) - {"svg"}, "a": set(ALLOWED) - {"svg"}}


def sheets() -> dict[str, str]:
    project = pipeline.open_file(Path(folder("examples")) / "press.hyc")
    extras = ("colours", "positions", "steps", "parts", "links")
    full = from_circuit(project.circuit, project.point("press"), extras)
    return {
        "coloured": draw(full, "Press & more").svg("A3, landscape"),
        "plain": draw(from_circuit(project.circuit), "Press").svg(),
        "symbols": symbol_sheet(),
    }


SHEETS = sheets()


@pytest.mark.parametrize("name", SHEETS)
def test_only_what_the_definition_allows(name: str) -> None:
    for element in ET.fromstring(SHEETS[name]).iter():
        tag = element.tag.removeprefix(SVG)
        assert tag in ALLOWED
        assert set(element.keys()) <= ALLOWED[tag], tag
        assert NEEDED.get(tag, set()) <= set(element.keys())
        inside = [child.tag.removeprefix(SVG) for child in element]
        assert set(inside) <= HOLDS.get(tag, set())
        assert "title" not in inside[1:], "the title comes first"


@pytest.mark.parametrize("name", SHEETS)
def test_ids_are_names_and_used_once(name: str) -> None:
    ids = [e.get("id") for e in ET.fromstring(SHEETS[name]).iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    assert all(re.fullmatch(r"[A-Za-z_][A-Za-z0-9._-]*", found or "") for found in ids)


def test_numbers_and_colours_are_written_as_they_must_be() -> None:
    number = r"-?\d+(\.\d+)?"
    for element in ET.fromstring(SHEETS["coloured"]).iter():
        for pair in (element.get("points") or "").split():
            assert re.fullmatch(f"{number},{number}", pair)
        for key in ("fill", "stroke"):
            assert re.fullmatch("none|#[0-9a-f]{6}", element.get(key, "none"))


def test_a_part_leads_to_its_line_of_the_text() -> None:
    root = ET.fromstring(SHEETS["coloured"])
    part = next(g for g in root.iter(f"{SVG}g") if g.get("id") == "part-P1")
    link = part.find(f"{SVG}a")
    assert link is not None
    text = (Path(folder("examples")) / "press.hyc").read_text(encoding="utf-8").splitlines()
    line = int((link.get(LINK) or "").rpartition("#L")[2])
    assert text[line - 1].split()[0] == "P1"
    assert part.findtext(f"{SVG}title", "").startswith("P1, ")
