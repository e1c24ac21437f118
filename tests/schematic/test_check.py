"""Every kind of fault is found in a drawing that has it, and none in a sound one."""

from dataclasses import replace

import pytest

from circuitcheck.basics.shapes import Box
from circuitcheck.schematic import drawing
from circuitcheck.schematic.check import (
    Frame,
    Wire,
    Words,
    bends,
    crossings,
    find_faults,
    length,
)
from circuitcheck.schematic.netlist import Value
from circuitcheck.schematic.placing import Layout
from circuitcheck.symbols import Anchor
from tests.schematic.machines import press

LOW, HIGH = Frame("a", (0, 10, 4, 14)), Frame("b", (0, 0, 4, 4))
PINS = (("a.n", Anchor(2, 10, "N")), ("b.s", Anchor(2, 4, "S")))
STRAIGHT = Wire("n", (((2, 10), (2, 4)),), PINS)


def slugs(frames: list[Frame], wires: list[Wire], words: list[Words] | None = None) -> set[str]:
    return {fault.slug for fault in find_faults(frames, wires, words or [])}


def test_a_straight_line_between_two_symbols_is_sound() -> None:
    assert slugs([LOW, HIGH], [STRAIGHT], [Words("t", (2.5, 6, 5, 8))]) == set()
    assert (crossings([STRAIGHT]), bends([STRAIGHT]), length([STRAIGHT])) == (0, 0, 6)


def test_a_plain_crossing_is_sound_and_counted() -> None:
    other = Wire("m", (((-5, 7), (9, 7)),), ())
    assert slugs([LOW, HIGH], [STRAIGHT, other]) == set()
    assert crossings([STRAIGHT, other]) == 1


@pytest.mark.parametrize(
    ("slug", "frames", "wires", "words"),
    [
        ("symbol-on-symbol", [LOW, Frame("c", (3, 12, 8, 16))], [], []),
        ("line-through-symbol", [LOW, HIGH, Frame("c", (1, 6, 5, 8))], [STRAIGHT], []),
        ("line-through-symbol", [LOW, HIGH, Frame("c", (2, 6, 5, 8))], [STRAIGHT], []),
        ("line-on-line", [], [STRAIGHT, Wire("m", (((2, 8), (2, 2)),), ())], []),
        ("line-on-line", [], [STRAIGHT, Wire("m", (((-3, 7), (2, 7)),), ())], []),
        ("open-port", [], [Wire("n", (((2, 10), (2, 5)),), PINS)], []),
        ("open-port", [], [Wire("n", (((2, 10), (6, 10), (6, 3), (2, 3), (2, 4)),), PINS)], []),
        ("net-in-pieces", [], [Wire("n", (((2, 10), (2, 8)), ((2, 6), (2, 4))), PINS)], []),
        ("slanted-line", [], [Wire("n", (((2, 10), (3, 4)),), ())], []),
        (
            "four-way-joint",
            [],
            [
                Wire(
                    "n",
                    (((0, 0), (5, 0)), ((5, 0), (9, 0)), ((5, -4), (5, 0)), ((5, 0), (5, 4))),
                    (),
                )
            ],
            [],
        ),
        ("text-on-line", [], [STRAIGHT], [Words("t", (1, 6, 5, 8))]),
        ("text-on-symbol", [LOW], [], [Words("t", (3, 13, 9, 15))]),
        ("text-on-text", [], [], [Words("t", (0, 0, 4, 2)), Words("u", (3, 1, 8, 3))]),
    ],
)
def test_a_fault_is_named(
    slug: str, frames: list[Frame], wires: list[Wire], words: list[Words]
) -> None:
    assert slug in slugs(frames, wires, words)


def test_a_figure_without_room_is_left_out_and_named(monkeypatch: pytest.MonkeyPatch) -> None:
    netlist = replace(press(), values=(Value("P1", "P", "118 bar"), Value("C1", "cap", "90 bar")))
    place = drawing.place_notes

    def crowded(layout: Layout, values: tuple[Value, ...], taken: list[Box]) -> object:
        notes, homeless = place(layout, values, taken)
        lost = [f"{v.item}.{v.port} {v.text}" for v in values if v.item == "P1"]
        return [n for n in notes if n.owner != "P1.P"], [*homeless, *lost]

    monkeypatch.setattr(drawing, "place_notes", crowded)
    drawn = drawing.draw(netlist, "Press")
    assert drawn.faults == ()
    assert drawn.notices == ("No room for the text P1.P 118 bar.",)
    owners = {note.owner for note in drawn.notes}
    assert "C1.cap" in owners
    assert "P1.P" not in owners
