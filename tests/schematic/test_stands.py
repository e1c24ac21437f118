"""Valves of a step are drawn in the position in which the solution has them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from circuitcheck import pipeline
from circuitcheck.basics.folders import folder
from circuitcheck.basics.shapes import Circle, Line, Point, Polygon, Text
from circuitcheck.components import kinds
from circuitcheck.pipeline import Project
from circuitcheck.schematic import from_circuit
from circuitcheck.schematic.stands import places_in, positions_in
from circuitcheck.symbols import Look, Symbol, all_symbols
from tests.press_text import PRESS

FOUR_THREE = {"a": (("P", "A"), ("B", "T")), "centre": (), "b": (("P", "B"), ("A", "T"))}
LOOKS = {
    "valve": Look(ports=("P", "T", "A", "B"), positions=FOUR_THREE, rest="centre"),
    "section": Look(positions=FOUR_THREE, rest="centre"),
    "bank section": Look(),
}


@cache
def project(name: str) -> Project:
    return pipeline.open_file(Path(folder("examples")) / f"{name}.hyc")


def arrows(symbol: Symbol) -> set[tuple[Point, Point]]:
    return {
        (shape.points[0], shape.points[-1])
        for shape in symbol.shapes
        if isinstance(shape, Line) and shape.heads == "end"
    }


@pytest.mark.parametrize("word", LOOKS)
@pytest.mark.parametrize(("shown", "paths"), [("a", ("PA", "BT")), ("b", ("PB", "AT"))])
@pytest.mark.parametrize("transit", ["", "open in transit"])
def test_the_paths_of_the_position_stand_at_the_lines(
    word: str, shown: str, paths: tuple[str, str], transit: str
) -> None:
    look = LOOKS[word]
    pushed = Look(
        choices={"transit": transit} if word == "valve" else {},
        ports=look.ports,
        positions=look.positions,
        rest=look.rest,
        shown=shown,
    )
    symbol = all_symbols()[word](pushed)
    found = arrows(symbol)
    sides = {"P": 2.0, "T": 2.0, "A": -2.0, "B": -2.0}
    for start, end in paths:
        a, b = symbol.anchors[start], symbol.anchors[end]
        assert ((a.x, sides[start]), (b.x, sides[end])) in found
    rest = all_symbols()[word](Look(ports=look.ports, positions=look.positions, rest=look.rest))
    where = {name: (a.x, a.y) for name, a in symbol.anchors.items() if name != "LS"}
    assert where == {name: (a.x, a.y) for name, a in rest.anchors.items() if name != "LS"}


def test_what_a_spool_passes_stands_between_its_positions_in_dashes() -> None:
    look = LOOKS["valve"]
    through = Look({"transit": "open in transit"}, look.ports, look.positions, look.rest)
    plain, passing = (all_symbols()["valve"](x) for x in (look, through))
    # two more squares of 4 M, each with a dashed upper and lower side
    assert passing.frame[2] - passing.frame[0] == plain.frame[2] - plain.frame[0] + 8
    dashed = [s for s in passing.shapes if isinstance(s, Line) and s.style == "dashed"]
    assert len(dashed) == 4


@pytest.mark.parametrize(
    "word", ["relief", "port relief", "unloading valve", "sequence", "counterbalance"]
)
def test_the_arrow_of_an_open_pressure_valve_is_in_line(word: str) -> None:
    draw = all_symbols()[word]
    assert any(a[0] == b[0] == -1 for a, b in arrows(draw(Look())))
    assert not any(a[0] == b[0] == 0 for a, b in arrows(draw(Look())))
    assert any(a[0] == b[0] == 0 for a, b in arrows(draw(Look(shown="open"))))


@pytest.mark.parametrize(
    ("name", "step", "where"),
    [
        ("blade_and_winch", "haul", {"S2": "a, between", "CB1": "check", "P1": "load sensing"}),
        ("blade_and_winch", "pay_out", {"S2": "b, between", "CB1": "open"}),
        ("travel_drive", "row", {"FV1": "a", "R2": "open, pilot"}),
        ("travel_drive", "back", {"FV1": "b"}),
        ("tool_bank", "both", {"S1": "a, check", "S2": "a, check"}),
        ("anchor_winch", "haul", {"BV1": "A check, B open", "SH1": "1"}),
        ("anchor_winch", "pay_out", {"BV1": "A open, B check", "SH1": "2"}),
        ("clamp_stations", "hold", {"P1": "pressure", "S1/RV1": "between", "S1/PC1": ""}),
        ("clamp_stations", "open", {"P1": "", "S1/RV1": "", "S1/PC1": "open", "S1/C1": "in"}),
        ("filter_loop", "morning", {"F1": "check", "CV1": "open"}),
        ("logic_press", "approach", {"LC1": "open", "LC2": "", "LC4": "between"}),
        ("steering", "tip", {"PV1": "between", "C1": "", "C2": "out"}),
        ("torque_limit", "trunk", {"P1": "torque"}),
        ("press", "idle", {"V1": "", "R1": ""}),
    ],
)
def test_positions_are_those_of_the_solution(name: str, step: str, where: dict[str, str]) -> None:
    found = positions_in(project(name).circuit, project(name).point(step))
    assert {part: found.get(part, "") for part in where} == where


def test_a_valve_without_pilot_pressure_is_drawn_at_rest() -> None:
    text = PRESS.replace("closed centre", "closed centre, internal pilot, pilot 150 bar")
    assert text != PRESS
    opened = pipeline.parse(text)
    assert opened.understood
    step = next(s.name for s in opened.circuit.steps if s.orders["V1"].position == "a")
    point = opened.point(step)
    assert "V1" not in positions_in(opened.circuit, point)
    items = {item.id: item for item in from_circuit(opened.circuit, point, ("positions",)).items}
    assert "not shifted: pilot short" in items["V1"].lines


def test_a_shut_off_says_whether_it_is_open() -> None:
    name = "press_accumulator"
    step = project(name).circuit.steps[0].name
    point = project(name).point(step)
    listed = from_circuit(project(name).circuit, point, ("positions",)).items
    for item in (i for i in listed if i.kind == "shut-off"):
        assert point.parts[item.id].state in item.lines
    assert any(item.kind == "shut-off" for item in listed)


SHOWN = {
    "shuttle": ("1", "midway"),
    "two-pressure valve": ("1", "2"),
    "check": ("open",),
    "pilot check": ("open",),
    "double pilot check": ("A open", "B open"),
    "anti-cavitation": ("feeding A", "feeding B"),
    "burst valve": ("shut",),
    "filter": ("check",),
    "relief": ("open", "open, pilot"),
    "port relief": ("open", "check"),
    "sequence": ("open", "check"),
    "unloading valve": ("open",),
    "counterbalance": ("open", "check"),
    "brake valve": ("A open", "B open", "A check", "B check"),
    "crossport relief": ("A to B", "B to A", "feeding A", "feeding B"),
    "reducing valve": ("between", "closed", "check"),
    "compensator": ("between", "closed"),
    "section": ("a", "a, between"),
    "bank section": ("a", "a, check"),
    "priority valve": ("between",),
    "bypass flow control": ("between", "open", "between, pilot"),
    "cartridge": ("between", "open"),
    "flushing valve": ("a", "b"),
    "pressure switch": ("operated",),
    "pump": ("pressure", "torque", "load sensing"),
    "winch": ("in",),
    "wheel": ("back",),
    "cylinder": ("out", "in"),
    "telescopic cylinder": ("out", "in"),
}
"""What of each kind can be shown of a step."""
WITH: Mapping[str, Look] = {
    "filter": Look(has=frozenset({"bypass"})),
    "anti-cavitation": Look(),
    "crossport relief": Look({"feed": "anti-cavitation"}),
    "relief": Look({"stage": "remote port"}),
    "sequence": Look({"reverse": "free-flow check"}),
    "reducing valve": Look({"reverse": "free-flow check"}),
    "bypass flow control": Look(has=frozenset({"limit"})),
    "section": LOOKS["section"],
    "pump": Look({"control": "load sensing"}, has=frozenset({"compensator", "torque limit"})),
}


@pytest.mark.parametrize("word", SHOWN)
def test_all_that_can_be_shown_looks_different_and_joins_the_same_lines(word: str) -> None:
    look = WITH.get(word, Look())
    rest = all_symbols()[word](look)
    seen = [rest.shapes]
    for shown in SHOWN[word]:
        symbol = all_symbols()[word](replace(look, shown=shown))
        assert symbol.shapes not in seen, shown
        seen.append(symbol.shapes)
        sides = {name: (anchor.side, anchor.dashed) for name, anchor in symbol.anchors.items()}
        assert sides == {name: (a.side, a.dashed) for name, a in rest.anchors.items()}


def test_every_valve_with_a_state_can_show_it_or_say_it() -> None:
    """Kinds of valves that say what they do in a step are drawn so, or it is written."""
    written = {"shut-off", "quick coupling", "brake", "clutch"}
    others = {  # not valves, or nothing in them goes to and fro between positions
        "accumulator", "tank", "gauge", "test point", "thermometer", "flowmeter", "breather",
        "electric motor", "engine", "hand pump", "motor", "rotary actuator", "intensifier",
        "gearbox", "belt", "cooler", "heater", "orifice", "gallery", "line",
        "throttle", "throttle-check", "flow control", "flow divider", "gear divider",
        "rotary union", "strainer",
    }  # fmt: skip
    assert {kind.word for kind in kinds().values()} - written - others == {*SHOWN, "valve"}


@pytest.mark.parametrize("step", ["blade", "haul", "both", "pay_out"])
def test_the_ball_of_a_shuttle_shuts_the_inlet_of_lower_pressure(step: str) -> None:
    opened = project("blade_and_winch")
    point = opened.point(step)
    ports = point.parts["SH1"].ports
    items = {item.id: item for item in from_circuit(opened.circuit, point, ("positions",)).items}
    symbol = items["SH1"].symbol
    ball = next(shape for shape in symbol.shapes if isinstance(shape, Circle))
    lower = min("12", key=lambda letter: ports[letter].pressure)
    assert (ball.centre[0] < 0) == (symbol.anchors[lower].x < 0)
    assert ball.centre[0] != 0


def piston(symbol: Symbol) -> float:
    """Give the left face of a piston: an upright line as high as the body, but not of it."""
    faces = [
        shape.points[0][0]
        for shape in symbol.shapes
        if isinstance(shape, Line) and [p[1] for p in shape.points] == [-1.5, 1.5]
    ]
    return min(faces)


@pytest.mark.parametrize("name", ["press", "clamp_stations", "steering"])
def test_a_rod_stands_where_the_step_has_it(name: str) -> None:
    opened = project(name)
    for step in opened.circuit.steps:
        point = opened.point(step.name)
        places = places_in(opened.circuit, point)
        for item in from_circuit(opened.circuit, point, ("positions",)).items:
            if item.kind != "cylinder":
                continue
            state = point.parts[item.id]
            stroke = opened.circuit.parts[item.id].figures["stroke"].value
            share = state.values["place"] / stroke
            assert places[item.id] == pytest.approx(share)
            assert piston(item.symbol) == pytest.approx(-3.5 + 6.0 * share)
            speed = state.values["speed"]
            assert [b[0] > a[0] for a, b in arrows(item.symbol)] == ([speed > 0.0] if speed else [])


def test_the_ruling_spool_of_a_pump_stands_between_its_squares() -> None:
    look = WITH["pump"]
    for place, ruling in enumerate(("torque", "pressure", "load sensing")):
        symbol = all_symbols()["pump"](replace(look, shown=ruling))
        level = -4.0 - 9.0 * place
        squares = sorted(
            min(x for x, _ in shape.points)
            for shape in symbol.shapes
            if isinstance(shape, Polygon) and {y for _, y in shape.points} == {level - 2, level + 2}
        )
        assert squares[1] - squares[0] == 8.0, ruling  # room for the third one between them
        dashed = {
            shape.points
            for shape in symbol.shapes
            if isinstance(shape, Line) and shape.style == "dashed"
        }
        low, high = squares[0] + 4, squares[1]
        for y in (level - 2, level + 2):
            assert ((low, y), (high, y)) in dashed, ruling


@pytest.mark.parametrize("ruling", ["torque", "pressure", "load sensing"])
def test_in_short_form_the_control_that_rules_is_underlined(ruling: str) -> None:
    short = replace(WITH["pump"], choices={"control": "load sensing", "form": "short form"})
    rest, symbol = (all_symbols()["pump"](replace(short, shown=s)) for s in ("", ruling))
    (added,) = set(symbol.shapes) - set(rest.shapes)
    names = {"torque": "M", "pressure": "p", "load sensing": "LS"}
    named = next(s for s in symbol.shapes if isinstance(s, Text) and s.content == names[ruling])
    assert isinstance(added, Line)
    assert 0.5 < added.points[0][1] - named.at[1] < 1.0


def test_the_sheet_says_how_positions_are_read() -> None:
    opened = project("steering")
    point = opened.point("steer")
    plain, pushed = (from_circuit(opened.circuit, point, x).rows for x in ((), ("positions",)))
    assert "Valves and rods drawn at rest" in plain
    assert "Valves and rods drawn as they stand in this step" in pushed
    assert "Dashed square, arrow half in line: throttling" in pushed
    calm = project("press")
    rows = from_circuit(calm.circuit, calm.point("approach"), ("positions",)).rows
    assert not any("throttling" in row for row in rows)
