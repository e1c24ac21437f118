"""A block gets a dash-dot outline that holds its own parts, and nothing of others."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from circuitcheck.basics.shapes import Box, Polygon, Text
from circuitcheck.circuit import build
from circuitcheck.language import read_file
from circuitcheck.schematic import draw, from_circuit
from circuitcheck.schematic.drawing import Drawing
from circuitcheck.schematic.enclosures import Outline
from circuitcheck.schematic.netlist import Netlist

CIRCUITS = Path(__file__).parent.parent / "language" / "circuits"
WHOLE = -1e-9


@pytest.fixture(scope="module")
def winch() -> tuple[Netlist, Drawing]:
    circuit, _ = build(read_file(CIRCUITS / "2_winch.hyc")[0])
    assert circuit is not None
    netlist = from_circuit(circuit)
    return netlist, draw(netlist, circuit.title)


def inside(box: Box, outer: Box) -> bool:
    return outer[0] < box[0] and outer[1] < box[1] and box[2] < outer[2] and box[3] < outer[3]


def apart(box: Box, outer: Box) -> bool:
    return (
        min(box[2], outer[2]) - max(box[0], outer[0]) < WHOLE
        or min(box[3], outer[3]) - max(box[1], outer[1]) < WHOLE
    )


def test_every_section_has_an_outline(winch: tuple[Netlist, Drawing]) -> None:
    _, drawing = winch
    assert drawing.faults == ()
    assert [outline.id for outline in drawing.outlines] == ["S1", "S2"]
    for outline in drawing.outlines:
        polygon, text, *letters = outline.shapes
        assert isinstance(polygon, Polygon)
        assert polygon.style == "dash-dot"
        assert isinstance(text, Text)
        assert text.content == f"{outline.id} ls_section"
        assert letters
        assert len(letters) == len(outline.letters)
    assert 'id="block-S1"' in drawing.svg()


def test_an_outline_holds_its_own_parts_alone(winch: tuple[Netlist, Drawing]) -> None:
    netlist, drawing = winch
    own = {enclosure.id: set(enclosure.items) for enclosure in netlist.enclosures}
    for outline in drawing.outlines:
        for item, body in drawing.layout.bodies.items():
            for box in body.boxes():
                if item in own[outline.id]:
                    assert inside(box, outline.box), (outline.id, item)
                else:
                    assert apart(box, outline.box), (outline.id, item)
                    assert apart(box, outline.label_box), (outline.id, item)


def test_an_outline_runs_through_no_text_and_along_no_line(winch: tuple[Netlist, Drawing]) -> None:
    _, drawing = winch
    for outline in drawing.outlines:
        for note in drawing.notes:
            assert inside(note.box, outline.box) or apart(note.box, outline.box)
        for line in drawing.layout.lines:
            for way in line.ways:
                for a, b in pairwise(way):
                    assert not _along(a, b, outline)


def _along(a: tuple[float, float], b: tuple[float, float], outline: Outline) -> bool:
    x0, y0, x1, y1 = outline.box
    if a[1] == b[1] and a[1] in (y0, y1):
        return min(max(a[0], b[0]), x1) > max(min(a[0], b[0]), x0)
    if a[0] == b[0] and a[0] in (x0, x1):
        return min(max(a[1], b[1]), y1) > max(min(a[1], b[1]), y0)
    return False


def test_a_hint_about_a_block_is_about_its_valve(winch: tuple[Netlist, Drawing]) -> None:
    netlist, _ = winch
    assert [str(hint) for hint in netlist.hints] == [
        "S1/V1 left of S2/V1",
        "M1 above S2/V1",
    ]
