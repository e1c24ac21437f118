"""Letters on symbols: high enough to read, beside their leads, clear of every line."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

import pytest

from circuitcheck.basics.shapes import Arc, Box, Circle, Line, Point, Polygon, Shape, Text
from circuitcheck.schematic.fonts import text_width
from circuitcheck.schematic.symbol_sheet import Shown, shown_symbols
from circuitcheck.symbols import Look, Symbol, all_symbols

LEAST = 1.4
"""Font size of capitals 1 M high, 2.5 mm at full size (ISO 1219-1 clause 5, from memory)."""
CAPITALS = 0.72
"""Height of capitals, of the font size (own measurement of the fonts that are asked for)."""


def inked(text: Text) -> Box:
    wide, high = text_width(text.content, text.size), CAPITALS * text.size
    x, y = text.at
    return x - wide / 2, y - high / 2, x + wide / 2, y + high / 2


def stretches(shape: Shape) -> Iterable[tuple[Point, Point]]:
    if isinstance(shape, Line):
        yield from pairwise(shape.points)
    elif isinstance(shape, Polygon):
        yield from pairwise((*shape.points, shape.points[0]))
    elif isinstance(shape, Circle | Arc):
        first, last = (0, 360) if isinstance(shape, Circle) else sorted((shape.start, shape.end))
        angles = [math.radians(first + (last - first) * k / 24) for k in range(25)]
        (x, y), r = shape.centre, shape.radius
        yield from pairwise([(x + r * math.cos(a), y + r * math.sin(a)) for a in angles])


def cuts(a: Point, b: Point, box: Box) -> bool:
    """Tell whether a straight line has a point inside a box."""
    steps = max(1, int(20 * math.dist(a, b)))
    for k in range(steps + 1):
        x, y = (a[i] + (b[i] - a[i]) * k / steps for i in (0, 1))
        if box[0] < x < box[2] and box[1] < y < box[3]:
            return True
    return False


def name(shown: Shown) -> str:
    return shown.lines[0]


SPOOL = {"a": (("P", "A"), ("B", "T")), "0": (), "b": (("P", "B"), ("A", "T"))}
FURTHER = {
    "valve with LS": ("valve", Look(ports=("P", "T", "A", "B", "LS"), positions=SPOOL, rest="0")),
    "pilot valve": ("valve", Look({"pilot": "pilots X and Y"}, ("P", "T", "A", "B", "X", "Y"),
                                  SPOOL, "0")),
    "relief in full": ("relief", Look({"stage": "remote port", "drain": "external drain"})),
    "unloading with check": ("unloading valve", Look({"pilot": "built-in check"})),
    "sequence with all": ("sequence", Look({"a": "piloted", "b": "remote pilot",
                                            "c": "free-flow check"})),
    "reducing with all": ("reducing valve", Look({"a": "remote port", "c": "free-flow check"})),
    "priority, set flow": ("priority valve", Look({"a": "set priority flow"})),
    "bypass with limit": ("bypass flow control", Look(has=frozenset({"limit"}))),
    "drained pilot check": ("pilot check", Look({"a": "drained"})),
    "pump with partner": ("pump", Look({"c": "load sensing"}, ("P", "S", "L", "X", "Z"),
                                       has=frozenset({"compensator", "torque limit"}))),
    "brake valve with all": ("brake valve", Look({"a": "crossport reliefs",
                                                  "b": "anti-cavitation"})),
    "priority in a step": ("priority valve", Look({"a": "dynamic"}, shown="between")),
    "pump on torque limit": ("pump", Look({"c": "load sensing"}, ("P", "S", "L", "X"),
                                          has=frozenset({"compensator", "torque limit"}),
                                          shown="torque")),
}  # fmt: skip
SYMBOLS = {name(shown): shown.symbol for shown in shown_symbols()} | {
    told: all_symbols()[word](look) for told, (word, look) in FURTHER.items()
}


@pytest.mark.parametrize("told", SYMBOLS)
def test_no_line_runs_through_a_letter(told: str) -> None:
    texts = [s for s in SYMBOLS[told].shapes if isinstance(s, Text)]
    assert all(text.size >= LEAST for text in texts)
    for text in texts:
        for shape in SYMBOLS[told].shapes:
            for a, b in stretches(shape):
                assert not cuts(a, b, inked(text)), (text.content, shape)


@pytest.mark.parametrize("told", SYMBOLS)
def test_letters_do_not_touch_each_other(told: str) -> None:
    boxes = [inked(s) for s in SYMBOLS[told].shapes if isinstance(s, Text)]
    for k, a in enumerate(boxes):
        for b in boxes[k + 1 :]:
            assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]


def lettered(word: str, look: Look | None = None) -> set[str]:
    symbol: Symbol = all_symbols()[word](look or Look())
    return {s.content for s in symbol.shapes if isinstance(s, Text)}


@pytest.mark.parametrize(
    "word",
    ["relief", "port relief", "counterbalance", "reducing valve", "sequence", "compensator",
     "unloading valve", "brake valve", "crossport relief", "priority valve", "flushing valve",
     "section", "bank section", "double pilot check", "cartridge", "flow divider"],
)  # fmt: skip
def test_every_port_of_a_valve_has_its_letter(word: str) -> None:
    assert lettered(word) >= set(all_symbols()[word](Look()).anchors)


def test_ports_of_a_pilot_stage_have_theirs() -> None:
    stage = Look({"stage": "remote port", "drain": "external drain"})
    assert lettered("relief", stage) == {"P", "T", "X", "Y"}
    assert lettered("pilot check", Look({"drain": "drained"})) == {"X", "Y"}
