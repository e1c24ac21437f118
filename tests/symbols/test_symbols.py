"""Symbols: found by discovery, fit for the grid, and drawn as the part is made."""

import types
from collections.abc import Iterable

import pytest

import circuitcheck.symbols as symbols
from circuitcheck.basics.shapes import LINE_WIDTH, Circle, Line, Point, Pose, Text
from circuitcheck.symbols import OUTWARD, Look, Symbol, all_symbols

FOUR_THREE = {
    "a": (("P", "A"), ("B", "T")),
    "centre": (),
    "b": (("P", "B"), ("A", "T")),
}
VALVE = Look(ports=("P", "T", "A", "B"), positions=FOUR_THREE, rest="centre")
SQUARE_EDGE = 2.0


def ends(symbol: Symbol) -> set[Point]:
    lines = [shape for shape in symbol.shapes if isinstance(shape, Line)]
    return {point for line in lines for point in (line.points[0], line.points[-1])}


def drawn() -> Iterable[tuple[str, Symbol]]:
    for word, draw in all_symbols().items():
        yield word, draw(VALVE if word == "valve" else Look())
    pump = all_symbols()["pump"]
    for control in ("fixed", "variable", "pressure compensated", "load sensing"):
        letters = ("S", "P", "L", "X") if control == "load sensing" else ("S", "P")
        for extra in (frozenset(), frozenset({"compensator", "torque limit"})):
            yield control, pump(Look({"control": control}, letters, has=extra))
    for acting in ("double acting", "single acting", "spring return", "plunger", "double rod"):
        yield acting, all_symbols()["cylinder"](Look({"acting": acting}))
    for word in ("throttle", "flow control", "sequence"):
        yield word, all_symbols()[word](Look({"reverse": "free-flow check"}))


@pytest.mark.parametrize(("word", "symbol"), list(drawn()))
def test_anchors_end_drawn_lines_on_the_edge_at_whole_modules(word: str, symbol: Symbol) -> None:
    assert symbol.anchors
    x0, y0, x1, y1 = symbol.frame
    for name, anchor in symbol.anchors.items():
        assert float(anchor.x).is_integer(), name
        assert float(anchor.y).is_integer(), name
        edge = {"N": y0, "S": y1, "W": x0, "E": x1}[anchor.side]
        assert edge == (anchor.y if anchor.side in "NS" else anchor.x), name
        if not name.startswith("shaft"):
            assert (anchor.x, anchor.y) in ends(symbol), name


@pytest.mark.parametrize(("word", "symbol"), list(drawn()))
def test_turning_keeps_anchors_looking_outwards(word: str, symbol: Symbol) -> None:
    for quarters in range(4):
        for mirrored in (False, True):
            turned = symbol.posed(Pose(3, -4, quarters, mirrored))
            x0, y0, x1, y1 = turned.frame
            for anchor in turned.anchors.values():
                dx, dy = OUTWARD[anchor.side]
                outside = (anchor.x + dx, anchor.y + dy)
                assert not (x0 <= outside[0] <= x1 and y0 <= outside[1] <= y1)


def test_two_files_with_one_word_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    twin = types.SimpleNamespace(WORD="relief", draw=lambda look: None)
    all_symbols.cache_clear()
    monkeypatch.setattr(symbols.importlib, "import_module", lambda name: twin)
    with pytest.raises(ValueError, match="both draw 'relief'"):
        all_symbols()
    all_symbols.cache_clear()


def test_line_width_is_a_tenth_of_a_module() -> None:
    assert LINE_WIDTH == 0.1


def test_a_closed_port_carries_a_mark_and_a_joined_one_does_not() -> None:
    def marks(centre: tuple[tuple[str, ...], ...]) -> int:
        positions = {**FOUR_THREE, "centre": centre}
        look = Look(ports=("P", "T", "A", "B"), positions=positions, rest="centre")
        bars = [
            s
            for s in all_symbols()["valve"](look).shapes
            if isinstance(s, Line)
            and len(s.points) == 2
            and s.points[0][1] == s.points[1][1]
            and abs(s.points[0][0] - s.points[1][0]) == 1.0
            and abs(s.points[0][1]) == 1.0
        ]
        return len(bars)

    assert marks(()) == 4
    assert marks((("P", "T"),)) == 2
    assert marks((("A", "B", "T"),)) == 1
    assert marks((("P", "A", "B", "T"),)) == 0


def test_arrows_follow_the_written_order_of_a_path() -> None:
    look = Look(
        ports=("P", "T", "A"),
        positions={"a": (("A", "P"),), "rest": (("A", "T"),)},
        rest="rest",
    )
    arrows = [
        s.points
        for s in all_symbols()["valve"](look).shapes
        if isinstance(s, Line) and s.heads == "end"
    ]
    assert ((-1.0, -2.0), (1.0, 2.0)) in arrows  # rest square: A above left to T below right
    assert ((-5.0, -2.0), (-5.0, 2.0)) in arrows  # left square: A down to P


def test_the_square_beside_solenoid_a_is_position_a() -> None:
    left = [
        s.points
        for s in all_symbols()["valve"](VALVE).shapes
        if isinstance(s, Line) and s.heads == "end" and s.points[0][0] < -2
    ]
    assert sorted(left) == [((-5.0, 2.0), (-5.0, -2.0)), ((-3.0, -2.0), (-3.0, 2.0))]


def test_a_valve_with_one_position_is_refused() -> None:
    with pytest.raises(ValueError, match="2 or 3 positions"):
        all_symbols()["valve"](Look(ports=("P", "A"), positions={"a": ()}))


def test_leads_meet_the_rest_square_only() -> None:
    symbol = all_symbols()["valve"](VALVE)
    for name, anchor in symbol.anchors.items():
        assert abs(anchor.x) < SQUARE_EDGE, name


def test_each_control_of_a_pump_adds_a_spool() -> None:
    def letters_and_springs(*has: str) -> tuple[set[str], float]:
        look = Look({"control": "load sensing"}, ("S", "P", "L", "X"), has=frozenset(has))
        symbol = all_symbols()["pump"](look)
        return set(symbol.anchors), symbol.frame[3] - symbol.frame[1]

    names, plain = letters_and_springs()
    _, limited = letters_and_springs("compensator")
    _, full = letters_and_springs("compensator", "torque limit")
    assert names == {"P", "S", "L", "X", "shaft"}
    assert plain < limited < full


def test_the_short_form_of_a_controlled_pump_keeps_its_ports_and_takes_little_room() -> None:
    ports = ("S", "P", "L", "X")
    has = frozenset({"compensator", "torque limit"})
    draw = all_symbols()["pump"]
    full = draw(Look({"control": "load sensing"}, ports, has=has))
    short = draw(Look({"control": "load sensing", "form": "short form"}, ports, has=has))
    assert set(short.anchors) == set(full.anchors)
    assert short.frame[3] - short.frame[1] < 0.4 * (full.frame[3] - full.frame[1])
    named = {shape.content for shape in short.shapes if isinstance(shape, Text)}
    assert {"LS", "p", "M"} <= named


def test_oil_triangles_are_filled_and_gas_triangles_are_not() -> None:
    from circuitcheck.basics.shapes import Polygon

    def filled(word: str) -> list[bool]:
        shapes = all_symbols()[word](Look()).shapes
        return [s.filled for s in shapes if isinstance(s, Polygon) and len(s.points) == 3]

    assert filled("pump") == [True]
    assert filled("motor") == [True, True]
    assert filled("accumulator") == [False]


def test_instruments_stay_upright() -> None:
    for word in ("gauge", "thermometer", "tank", "accumulator"):
        assert not all_symbols()[word](Look()).may_turn


def test_text_in_a_turned_symbol_stays_a_text() -> None:
    symbol = all_symbols()["electric motor"](Look()).posed(Pose(quarters=1))
    (letter,) = [s for s in symbol.shapes if isinstance(s, Text)]
    assert letter.content == "M"
    assert letter.at == (0, 0)
    assert any(isinstance(s, Circle) for s in symbol.shapes)
