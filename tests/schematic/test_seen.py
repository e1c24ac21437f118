"""A step in colour: flows of every stretch of line, arrows, tints, valves in their position."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

import pytest

from circuitcheck import pipeline
from circuitcheck.basics.folders import folder
from circuitcheck.basics.shapes import ARROW_HALF_WIDTH, Line
from circuitcheck.pipeline import Project
from circuitcheck.schematic import Drawing, Extra, draw, from_circuit, painting, values
from circuitcheck.schematic.painting import pieces
from circuitcheck.schematic.sheet import compose
from circuitcheck.schematic.svg import Painted
from circuitcheck.schematic.tables import parts_table, step_table

SVG = "{http://www.w3.org/2000/svg}"


@cache
def project(name: str) -> Project:
    return pipeline.open_file(Path(folder("examples")) / f"{name}.hyc")


def drawn(name: str, step: str, *extras: Extra) -> Drawing:
    opened = project(name)
    return draw(from_circuit(opened.circuit, opened.point(step), extras), opened.circuit.title)


def test_what_runs_into_a_joint_runs_out_of_it() -> None:
    drawing = drawn("lift", "up_loaded", "colours")
    assert drawing.seen is not None
    for line in drawing.layout.lines:
        found = pieces(line, drawing.seen)
        for joint in line.joints:
            into = sum(p.flow for p in found if p.way[-1] == joint)
            out = sum(p.flow for p in found if p.way[0] == joint)
            assert into == pytest.approx(out, abs=1e-8)


def test_the_line_of_the_pump_carries_its_flow_away_from_it() -> None:
    drawing = drawn("press", "press", "colours")
    assert drawing.seen is not None
    anchor = drawing.layout.bodies["P1"].anchor("P")
    line = next(line for line in drawing.layout.lines if (("P1", "P"), anchor) in line.pins)
    piece = next(
        p for p in pieces(line, drawing.seen) if (anchor.x, anchor.y) in (p.way[0], p.way[-1])
    )
    away = piece.flow if piece.way[0] == (anchor.x, anchor.y) else -piece.flow
    assert away == pytest.approx(-project("press").point("press")["P1"].ports["P"].flow)
    assert away > 0


def test_colour_width_and_legend_stand_on_the_sheet() -> None:
    root = ET.fromstring(drawn("press", "press", "colours").svg())
    groups = {g.get("id"): g for g in root.iter(f"{SVG}g")}
    widths = {float(e.get("stroke-width", 0)) for g in groups.values() for e in g}
    assert max(widths) == pytest.approx(1.25)  # half a module: the line with all the flow
    assert "legend" in groups
    losses = groups["losses"].findall(f"{SVG}polygon")
    lossy = [s for s in project("press").point("press").parts.values() if s.loss > 0]
    drawn_kinds = [s for s in lossy if project("press").circuit.parts[s.name].kind.word != "line"]
    assert len(losses) == len(drawn_kinds)
    plain = drawn("press", "press").svg()
    assert 'id="legend"' not in plain


def test_a_valve_stands_at_the_lines_with_the_position_of_the_step() -> None:
    rest, pushed, other = (
        drawn("press", step, "positions").layout.bodies["V1"] for step in ("idle", "press", "back")
    )
    lead = rest.anchor("P")
    middle = {
        name: body.symbol.frame[0] - body.anchor("P").x
        for name, body in (("idle", rest), ("a", pushed), ("b", other))
    }
    # solenoid a pushes the spool to the right by one square of 4 M, b to the left
    assert middle["a"] - middle["idle"] == 4
    assert middle["b"] - middle["idle"] == -4
    assert lead.side == "S"


def test_the_table_of_steps_marks_the_solenoids_that_are_on() -> None:
    table = step_table(project("press").circuit, "press")
    assert table is not None
    assert table.heads == ("", "Step", "Time", "V1 a", "V1 b")
    assert table.rows[0] == ("1", "idle", "20 s", "", "")
    assert table.rows[2] == ("3", "press (shown)", "", "+", "")  # its time is that of its way
    assert table.rows[4] == ("5", "back", "", "", "+")


def test_valves_worked_by_hand_have_their_position_in_the_table() -> None:
    table = step_table(project("lift").circuit)
    assert table is not None
    assert table.heads[3:] == ("V1", "V2 a")
    assert [row[3] for row in table.rows] == ["centre", "a", "centre", "b", "b"]


def test_the_list_of_parts_names_every_part_once() -> None:
    circuit = project("press").circuit
    codes = [row[0] for row in parts_table(circuit).rows if row[0]]
    assert codes == [n for n, part in circuit.parts.items() if part.kind.word != "line"]
    assert ("R1", "relief", "210 bar") in parts_table(circuit).rows


def test_tables_legend_and_title_block_do_not_overlap() -> None:
    svg = drawn("press", "press", "colours", "steps", "parts").svg()
    root = ET.fromstring(svg)
    boxes = {}
    for group in root.iter(f"{SVG}g"):
        name = group.get("id") or ""
        if name.startswith("table-") or name == "title-block":
            frame = group.findall(f"{SVG}polygon")[-1 if name == "title-block" else 0]
            points = [tuple(map(float, p.split(","))) for p in frame.get("points", "").split()]
            xs, ys = [p[0] for p in points], [p[1] for p in points]
            boxes[name] = (min(xs), min(ys), max(xs), max(ys))
    assert set(boxes) == {"table-steps", "table-parts", "title-block"}  # no letter to explain
    listed = list(boxes.values())
    for k, a in enumerate(listed):
        for b in listed[k + 1 :]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_a_lead_has_the_colour_and_width_of_its_line() -> None:
    drawing = drawn("press", "press", "colours")
    assert drawing.seen is not None
    groups, _ = compose(drawing.layout, [], None, (), drawing.seen)
    painted = {g.id: [s for s in g.shapes if isinstance(s, Painted)] for g in groups}
    anchor = drawing.layout.bodies["P1"].anchor("P")
    lead = next(
        s
        for s in painted["part-P1"]
        if isinstance(s.shape, Line) and (anchor.x, anchor.y) in s.shape.points
    )
    (line,) = (one for one in drawing.layout.lines if (("P1", "P"), anchor) in one.pins)
    begins = next(
        s
        for s in painted[f"net-{line.net.id}"]
        if isinstance(s.shape, Line) and (anchor.x, anchor.y) in s.shape.points
    )
    assert lead.ink == begins.ink != ""
    assert lead.width == pytest.approx(begins.width)


def test_letters_outside_iso_9461_are_explained_beside_the_list_of_parts() -> None:
    tables = {table.id: table for table in drawn("steering", "steer", "parts").tables}
    rows = dict(tables["letters"].rows)
    assert rows["priority valve CF"] == "controlled flow, served first"
    assert rows["counterbalance C"] == "load side"
    assert not any(letter.endswith((" P", " T", " X")) for letter in rows)
    assert "letters" not in {table.id for table in drawn("press", "press", "parts").tables}


def test_beside_a_text_the_head_of_an_arrow_stands_out_of_the_widest_line() -> None:
    half = painting._PASSING**2 * ARROW_HALF_WIDTH
    text = (values._OFF, -1.0, 5.0, 1.0)
    assert half > 1.5 * painting._WIDEST / 2
    assert painting._place(((0.0, 4.0), (0.0, -4.0)), painting._PASSING, [], [text]) is not None
    assert painting._place(((0.0, 1.5), (0.0, -1.5)), painting._PASSING, [], [text]) is not None
    assert painting._place(((0.0, 1.5), (0.0, -1.5)), painting._LARGEST, [], [text]) is None
