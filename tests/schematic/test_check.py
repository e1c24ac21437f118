"""Every kind of fault is found in a drawing that has it, and none in a sound one."""

import pytest

from circuitcheck.schematic.check import (
    Frame,
    Wire,
    Words,
    bends,
    crossings,
    find_faults,
    length,
)
from circuitcheck.symbols import Anchor

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
