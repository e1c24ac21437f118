"""What a motor turns stands in one row at it, joined by short straight shafts."""

import pytest

from circuitcheck.basics.shapes import Text
from circuitcheck.schematic import Drawing, Item, Net, Netlist, draw
from circuitcheck.schematic.fonts import text_box
from circuitcheck.symbols import Look, all_symbols
from tests.schematic.machines import Machine


def item(name: str, kind: str, order: int, ports: tuple[str, ...] = ()) -> Item:
    return Item(name, kind, all_symbols()[kind](Look(ports=ports)), (), order)


def drive(*turned: tuple[str, str, str]) -> Netlist:
    """A motor under a tandem valve; ``turned`` are (name, kind, by what it is driven)."""
    square = (("P", "A"), ("B", "T")), (("P", "T"),), (("P", "B"), ("A", "T"))
    look = Look(
        ports=("P", "T", "A", "B"),
        positions=dict(zip(("a", "centre", "b"), square, strict=True)),
        rest="centre",
        actuation=("lever", "spring centred"),
    )
    items = [
        item("T1", "tank", 0, ("T",)),
        item("E1", "engine", 1),
        item("P1", "pump", 2, ("P", "S")),
        Item("V1", "valve", all_symbols()["valve"](look), (), 3),
        item("M1", "motor", 4, ("A", "B", "L")),
        *(item(name, kind, 5 + k) for k, (name, kind, _) in enumerate(turned)),
    ]
    nets = [
        Net("suction", "suction", (("T1", "T"), ("P1", "S"))),
        Net("pressure", "pressure", (("P1", "P"), ("V1", "P"))),
        Net("a", "work", (("V1", "A"), ("M1", "A"))),
        Net("b", "work", (("V1", "B"), ("M1", "B"))),
        Net("return", "return", (("V1", "T"), ("T1", "T"))),
        Net("case", "drain", (("M1", "L"), ("T1", "T"))),
        Net("drive", "shaft", (("E1", "shaft"), ("P1", "shaft"))),
    ]
    for driver in dict.fromkeys(by for _, _, by in turned):
        own = "shaft" if driver == "M1" else "shaft out"
        driven = tuple((name, "shaft") for name, _, by in turned if by == driver)
        nets.append(Net(f"shaft-{driver}", "shaft", ((driver, own), *driven)))
    return Netlist(tuple(items), tuple(nets))


def shafts(drawing: Drawing) -> list[tuple[float, float]]:
    """Slope and length of every shaft above the engine's, from left to right [M]."""
    found = [(a, b) for net, a, b in drawing.layout.shafts if net.id != "drive"]
    return [(b[1] - a[1], b[0] - a[0]) for a, b in sorted(found)]


def from_left(drawing: Drawing) -> list[str]:
    row = [i for i in drawing.layout.bodies if i not in ("E1", "P1", "V1")]
    return sorted(row, key=lambda i: drawing.layout.bodies[i].pose.x)


CHAIN = (("W1", "winch", "GB1"), ("B1", "brake", "M1"), ("GB1", "gearbox", "M1"))


@pytest.mark.parametrize(
    ("turned", "row"),
    [
        ((("W1", "winch", "M1"), ("B1", "brake", "M1")), ["M1", "B1", "W1"]),
        (CHAIN, ["M1", "B1", "GB1", "W1"]),
        ((("X1", "clutch", "M1"), ("W1", "wheel", "X1")), ["M1", "X1", "W1"]),
        ((("X1", "belt", "M1"), ("W1", "winch", "X1")), ["M1", "X1", "W1"]),
        ((("W1", "wheel", "M1"), ("W2", "wheel", "M1")), ["M1", "W1", "W2"]),
    ],
)
def test_brakes_gears_and_loads_stand_in_a_row(
    turned: tuple[tuple[str, str, str], ...], row: list[str]
) -> None:
    drawing = draw(drive(*turned), "test")
    assert from_left(drawing) == row
    assert len(shafts(drawing)) == len(row) - 1
    for slope, length in shafts(drawing):
        assert slope == 0
        assert 0 <= length <= 8


def test_a_single_load_stands_above_its_motor() -> None:
    bodies = draw(drive(("W1", "winch", "M1")), "test").layout.bodies
    assert bodies["W1"].pose.x == bodies["M1"].pose.x
    assert bodies["W1"].pose.y < bodies["M1"].pose.y


@pytest.mark.parametrize("word", ["motor", "winch", "wheel", "brake"])
def test_the_form_for_a_row_has_the_same_ports(word: str) -> None:
    plain = all_symbols()[word](Look())
    assert plain.in_row is not None
    assert set(plain.in_row.anchors) - {"through"} == set(plain.anchors)


def test_the_letters_of_a_closed_loop_pump_are_clear_of_its_arrow_and_lines() -> None:
    look = Look(choices={"control": "closed loop"}, ports=("A", "B", "L", "L1"))
    symbol = all_symbols()["pump"](look)
    letters = [shape for shape in symbol.shapes if isinstance(shape, Text)]
    assert {text.content for text in letters} == {"A", "B", "L", "L1"}
    for x0, y0, x1, y1 in (text_box(text) for text in letters):
        assert y0 > 3 or y1 < -3, "off the circle and its arrow"
        assert not any(x0 <= anchor.x <= x1 for p, anchor in symbol.anchors.items() if p != "shaft")


def test_a_clutch_and_a_gearbox_stand_between_engine_and_pump() -> None:
    plain = drive(("W1", "winch", "M1"))
    items = (*plain.items, item("GB1", "gearbox", 7), item("CL1", "clutch", 8))
    nets = tuple(net for net in plain.nets if net.id != "drive")
    nets += (
        Net("third", "shaft", (("GB1", "shaft out"), ("P1", "shaft"))),
        Net("second", "shaft", (("CL1", "shaft out"), ("GB1", "shaft"))),
        Net("first", "shaft", (("E1", "shaft"), ("CL1", "shaft"))),
    )
    drawing = draw(Netlist(items, nets), "test")
    machines = ["E1", "CL1", "GB1", "P1"]
    poses = [drawing.layout.bodies[i].pose for i in machines]
    assert [pose.x for pose in poses] == sorted(pose.x for pose in poses)
    assert len({pose.y for pose in poses}) == 1
    level = [a[1] == b[1] and b[0] > a[0] for net, a, b in drawing.layout.shafts if a[0] != b[0]]
    assert level == [True] * 3


def test_a_controlled_pump_behind_a_clutch_turns_its_shaft_end_to_it() -> None:
    m = Machine()
    m.add("T1", "tank")
    m.add("E1", "engine")
    m.add("CL1", "clutch")
    m.add("P1", "pump", choices={"control": "pressure compensated"})
    m.add("R1", "relief")
    m.join("suction", "suction", "T1.T", "P1.S")
    m.join("pressure", "pressure", "P1.P", "R1.P")
    m.join("spill", "return", "R1.T", "T1.T")
    m.join("drain", "drain", "P1.L", "T1.T")
    m.join("first", "shaft", "E1.shaft", "CL1.shaft")
    m.join("second", "shaft", "CL1.shaft out", "P1.shaft")
    drawing = draw(m.netlist(), "test")
    assert drawing.faults == ()
    shafts = {net.id: (a, b) for net, a, b in drawing.layout.shafts}
    assert all(a[1] == b[1] and a[0] < b[0] for a, b in shafts.values())
    assert set(shafts) == {"first", "second"}
    assert drawing.layout.bodies["P1"].anchor("shaft").side == "W"
