"""Every example is drawn without a fault, and with no more crossings than were reached once.

The figures are the crossings of the drawings that were looked at; a change that lowers one
lowers the figure here, a change that raises one has to find another way.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations, pairwise
from pathlib import Path

import pytest

from circuitcheck import pipeline
from circuitcheck.basics.folders import folder
from circuitcheck.basics.shapes import Box, Line, Text, bounds_of_points
from circuitcheck.schematic import Drawing, Extra, draw, from_circuit
from circuitcheck.schematic.bodies import meet
from circuitcheck.schematic.check import Wire, Words, crossings, find_faults
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
