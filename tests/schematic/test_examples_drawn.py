"""Every example is drawn without a fault, and with no more crossings than were reached once.

The figures are the crossings of the drawings that were looked at; a change that lowers one
lowers the figure here, a change that raises one has to find another way.
"""

from __future__ import annotations

import re
from functools import cache
from itertools import combinations, pairwise
from pathlib import Path
from typing import TypeGuard

import pytest

from circuitcheck import pipeline
from circuitcheck.basics.folders import folder
from circuitcheck.basics.shapes import Box, Line, Shape, Text, bounds_of_points
from circuitcheck.schematic import Drawing, Extra, draw, from_circuit
from circuitcheck.schematic.bodies import meet
from circuitcheck.schematic.check import Wire, Words, crossings, find_faults
from circuitcheck.schematic.netlist import Enclosure
from circuitcheck.schematic.placing import frames_of, wires_of
from circuitcheck.schematic.sheet import compose
from circuitcheck.schematic.svg import Painted, head_corners

CROSSINGS = {
    "anchor_winch": 4,
    "blade_and_winch": 5,
    "clamp_stations": 2,
    "clamps": 2,
    "flow_sharing": 3,
    "lift": 1,
    "logic_press": 9,
    "steering": 1,
    "tool_bank": 5,
    "travel_drive": 4,
    "twin_lift": 1,
}
"""Examples with crossings; every other one has none."""
EXAMPLES = sorted(path.stem for path in folder("examples").glob("*.hyc"))
SHORTEST = 1.0  # of two lines side by side, their least distance [M]


@cache
def drawn(name: str) -> Drawing:
    project = pipeline.open_file(Path(folder("examples")) / f"{name}.hyc")
    return draw(from_circuit(project.circuit), project.circuit.title)


def words_of(drawing: Drawing) -> list[Words]:
    labels = [Words(b.id, b.label_box) for b in drawing.layout.bodies.values() if b.label_box]
    outlines = [Words(f"name of {o.id}", o.label_box) for o in drawing.outlines]
    outlines += [Words(f"letter of {o.id}", box) for o in drawing.outlines for box in o.letters]
    return [*labels, *outlines, *(Words(note.owner, note.box) for note in drawing.notes)]


def side_by_side(wires: list[Wire]) -> list[tuple[str, str]]:
    """Name lines of two nets that run along each other nearer than one module."""
    found = []
    for one, other in combinations(wires, 2):
        for a in stretches(one):
            for b in stretches(other):
                along = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
                level = a[1] == a[3] and b[1] == b[3]
                upright = a[0] == a[2] and b[0] == b[2]
                if level and along[0] > 0 and abs(a[1] - b[1]) < SHORTEST:
                    found.append((one.net, other.net))
                if upright and along[1] > 0 and abs(a[0] - b[0]) < SHORTEST:
                    found.append((one.net, other.net))
    return found


def stretches(wire: Wire) -> list[Box]:
    return [
        (min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))
        for way in wire.lines
        for (ax, ay), (bx, by) in pairwise(way)
    ]


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_has_no_faults_and_few_crossings(name: str) -> None:
    drawing = drawn(name)
    wires = wires_of(drawing.layout)
    assert find_faults(frames_of(drawing.layout), wires, words_of(drawing)) == ()
    assert side_by_side(wires) == []
    assert crossings(wires) <= CROSSINGS.get(name, 0)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_hint_of_an_example_is_heeded(name: str) -> None:
    assert [n for n in drawn(name).notices if "wish" in n] == []


def test_lines_of_pilot_oil_are_dashed_all_along() -> None:
    dashed = {line.net.id for line in drawn("logic_press").layout.lines if line.dashed}
    ends = {
        frozenset(item for (item, _), _ in line.pins)
        for line in drawn("logic_press").layout.lines
        if line.net.id in dashed
    }
    assert {"V1", "LC1", "LC4"} in ends
    assert {"V1", "LC2", "LC3"} in ends
    assert {"SH1", "V1"} in ends
    assert not any("C1" in pins or "P1" in pins for pins in ends)


def test_the_size_of_a_hose_to_the_tank_is_written() -> None:
    texts = {note.owner for note in drawn("steering").notes}
    assert {"P1.S", "R1.T"} <= texts


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_size_of_a_line_to_the_tank_found_a_place(name: str) -> None:
    assert [n for n in drawn(name).notices if "No room" in n] == []


def test_the_size_of_a_case_drain_stands_at_its_motor_or_pump() -> None:
    notes = {
        note.owner: [shape.content for shape in note.shapes if isinstance(shape, Text)]
        for note in drawn("flow_sharing").notes
    }
    assert notes["P1.L"] == ["3/4 in"]
    assert notes["M1.L"] == ["L 1/2 in"]  # no room beside its line: under the data of the motor


@cache
def shown(name: str) -> Drawing:
    """Draw the second step of an example with all that a sheet can show of it."""
    project = pipeline.open_file(Path(folder("examples")) / f"{name}.hyc")
    point = project.point(project.circuit.steps[1].name)
    extras: tuple[Extra, ...] = ("colours", "positions", "steps", "parts")
    return draw(from_circuit(project.circuit, point, extras), project.circuit.title)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_step_in_colour_has_no_faults_either(name: str) -> None:
    drawing = shown(name)
    wires = wires_of(drawing.layout)
    assert find_faults(frames_of(drawing.layout), wires, words_of(drawing)) == ()


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_arrowhead_of_a_flow_covers_a_text(name: str) -> None:
    drawing = shown(name)
    groups, _ = compose(drawing.layout, list(drawing.notes), None, seen=drawing.seen)
    heads = [
        bounds_of_points(head_corners(*shape.shape.points, shape.head))
        for group in groups
        for shape in group.shapes
        if isinstance(shape, Painted)
        and isinstance(shape.shape, Line)
        and shape.shape.heads != "none"
    ]
    for head in heads:
        assert [w.owner for w in words_of(drawing) if meet(head, w.box, -0.01)] == []


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_letter_is_one_module_high(name: str) -> None:
    """Capitals of 2.5 mm at full size: a font of 3.5 mm (ISO 1219-1 clause 5, from memory)."""
    sizes = [float(size) for size in re.findall(r'font-size="([^"]+)"', drawn(name).svg())]
    assert min(sizes) >= 3.5


@pytest.mark.parametrize("name", ["logic_press", "travel_drive", "blade_and_winch"])
def test_a_dashed_line_is_dashed_up_to_the_symbols(name: str) -> None:
    drawing = drawn(name)
    for line in (line for line in drawing.layout.lines if line.dashed):
        for (item, port), anchor in line.pins:
            body = drawing.layout.bodies[item]
            leads = [s for s in body.symbol.shapes if _begins_at(s, (anchor.x, anchor.y))]
            assert all(lead.style == "dashed" for lead in leads), (item, port)


def test_a_cooler_in_a_drain_line_drains_on_in_dashes() -> None:
    body = drawn("torque_limit").layout.bodies["K2"]
    for name in ("in", "out"):
        anchor = body.anchor(name)
        leads = [s for s in body.symbol.shapes if _begins_at(s, (anchor.x, anchor.y))]
        assert [lead.style for lead in leads] == ["dashed"], name
    assert [mark.dashed for mark in body.marks] == [True]


def _begins_at(shape: Shape, at: tuple[float, float]) -> TypeGuard[Line]:
    return isinstance(shape, Line) and at in (shape.points[0], shape.points[-1])


def test_what_taps_a_working_line_for_a_signal_is_dashed() -> None:
    """The orifice that feeds a pilot line, and the inlets of the shuttle that gives pilot oil."""
    layout = drawn("logic_press").layout
    for item, port in (("OR1", "in"), ("SH1", "1"), ("SH1", "2")):
        line = next(one for one in layout.lines if (item, port) in [pin for pin, _ in one.pins])
        anchor = layout.bodies[item].anchor(port)
        ways = [way for way in line.ways if (anchor.x, anchor.y) in (way[0], way[-1])]
        assert not line.dashed
        assert all(line.ends_in_pilot(way) for way in ways), (item, port)


def test_a_line_through_an_outline_has_its_letter_there() -> None:
    drawing = drawn("clamp_stations")
    ports = {enclosure.id: dict(enclosure.ports) for enclosure in enclosures_of("clamp_stations")}
    segments = [(w.net, s) for w in wires_of(drawing.layout) for s in stretches(w)]
    for outline in drawing.outlines:
        x0, y0, x1, y1 = outline.box
        crossed = [
            (net, s)
            for net, s in segments
            if (s[0] == s[2] and x0 < s[0] < x1 and (s[1] < y0 < s[3] or s[1] < y1 < s[3]))
            or (s[1] == s[3] and y0 < s[1] < y1 and (s[0] < x0 < s[2] or s[0] < x1 < s[2]))
        ]
        letter_of = {net: letter for letter, net in ports[outline.id].items()}
        written = sorted(t.content for t in outline.shapes[2:] if isinstance(t, Text))
        ends = [e for net, s in crossed for e in _ends_through(s, outline.box, letter_of[net])]
        assert written == sorted(ends)
        assert len(outline.letters) == len(written) > 2
        for _, stretch in segments:
            assert not any(meet(stretch, box, 0.1) for box in outline.letters)


def _ends_through(stretch: Box, box: Box, letter: str) -> list[str]:
    """Give the letter once for every side of an outline that a stretch of line goes through."""
    if stretch[0] == stretch[2]:
        return [letter for y in (box[1], box[3]) if stretch[1] < y < stretch[3]]
    return [letter for x in (box[0], box[2]) if stretch[0] < x < stretch[2]]


def enclosures_of(name: str) -> tuple[Enclosure, ...]:
    circuit = pipeline.open_file(Path(folder("examples")) / f"{name}.hyc").circuit
    return from_circuit(circuit).enclosures
