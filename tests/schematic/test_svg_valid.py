"""The file keeps to SVG 1.1: every drawing is checked against the definition, its DTD.

`svg11/` holds the document type definition of SVG 1.1 (second edition, 2011) as the World Wide
Web Consortium published it, unchanged; its notice stands at the head of `svg11/svg11.dtd`.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

import pytest
from lxml import etree

from circuitcheck import pipeline
from circuitcheck.basics.folders import folder
from circuitcheck.schematic import draw, from_circuit, symbol_sheet
from tests.schematic.test_examples_drawn import EXAMPLES, drawn

SVG = "{http://www.w3.org/2000/svg}"
LINK = "{http://www.w3.org/1999/xlink}href"


@cache
def definition() -> etree.DTD:
    return etree.DTD(str(Path(__file__).parent / "svg11" / "svg11.dtd"))


def breaches(svg: str) -> list[str]:
    """Say where a file does not keep to the definition."""
    known = definition()
    known.validate(etree.fromstring(svg))
    return [entry.message for entry in known.error_log.filter_from_errors()]


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
def test_a_sheet_keeps_to_the_definition(name: str) -> None:
    assert breaches(SHEETS[name]) == []


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_example_keeps_to_the_definition(name: str) -> None:
    assert breaches(drawn(name).svg()) == []


def test_the_definition_finds_what_is_wrong() -> None:
    sound = SHEETS["plain"]
    assert breaches(sound.replace("<desc>", "<desc colour='red'>", 1))
    assert breaches(sound.replace("<title>", "<heading>", 1).replace("</title>", "</heading>", 1))
    assert breaches(re.sub(r'id="part-V1"', 'id="part-P1"', sound))


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


def test_parts_and_lines_say_what_they_are() -> None:
    groups = {g.get("id") or "": g for g in ET.fromstring(SHEETS["coloured"]).iter(f"{SVG}g")}
    assert groups["part-V1"].findtext(f"{SVG}desc") == "valve"
    told = [g.findtext(f"{SVG}desc", "") for name, g in groups.items() if name.startswith("net-")]
    assert "work line: V1 A, C1 cap" in told
    assert all(" line: " in text for text in told if text)


def test_a_part_leads_to_its_line_of_the_text() -> None:
    root = ET.fromstring(SHEETS["coloured"])
    part = next(g for g in root.iter(f"{SVG}g") if g.get("id") == "part-P1")
    link = part.find(f"{SVG}a")
    assert link is not None
    text = (Path(folder("examples")) / "press.hyc").read_text(encoding="utf-8").splitlines()
    line = int((link.get(LINK) or "").rpartition("#L")[2])
    assert text[line - 1].split()[0] == "P1"
    assert part.findtext(f"{SVG}title", "").startswith("P1, ")
