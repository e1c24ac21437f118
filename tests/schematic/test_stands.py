"""Valves of a step are drawn in the position in which the solution has them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from circuitcheck import pipeline
from circuitcheck.basics.folders import folder
from circuitcheck.basics.shapes import Line, Point
from circuitcheck.pipeline import Project
from circuitcheck.schematic import from_circuit
from circuitcheck.schematic.stands import positions_in
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
        ("blade_and_winch", "haul", {"S2": "a", "CB1": ""}),
        ("blade_and_winch", "pay_out", {"S2": "b", "CB1": "open"}),
        ("travel_drive", "row", {"FV1": "a", "R2": "open"}),
        ("travel_drive", "back", {"FV1": "b"}),
        ("tool_bank", "both", {"S1": "a", "S2": "a"}),
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
