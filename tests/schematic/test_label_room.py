"""Labels are moved a little, never far, and never nearer to what stands beside them."""

from __future__ import annotations

from itertools import pairwise

import pytest

from circuitcheck.basics.shapes import Box, Text
from circuitcheck.schematic.check import Words, find_faults
from circuitcheck.schematic.fonts import text_box
from circuitcheck.schematic.label_room import with_air
from circuitcheck.schematic.placing import Layout, frames_of, lay_out, wires_of
from tests.schematic.machines import machine
from tests.schematic.test_examples_drawn import EXAMPLES, drawn

MACHINE = machine(["holding", "cylinder", "motor", "locked"], extras=["gauge"])


def gap(a: Box, b: Box) -> float:
    return max(b[0] - a[2], a[0] - b[2], b[1] - a[3], a[1] - b[3])


def gaps(layout: Layout) -> dict[str, float]:
    """Give the least distance of every label from a line."""
    boxes = [
        (min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))
        for wire in wires_of(layout)
        for way in wire.lines
        for (ax, ay), (bx, by) in pairwise(way)
    ]
    return {
        name: min(gap(body.label_box, box) for box in boxes)
        for name, body in layout.bodies.items()
        if body.label_box is not None
    }


def test_labels_move_less_than_half_a_module_and_take_their_texts_along() -> None:
    before = lay_out(MACHINE, 2.0)
    after = with_air(before)
    for name, body in after.bodies.items():
        old, new = before.bodies[name].label_box, body.label_box
        if old is None or new is None:
            continue
        assert max(abs(a - b) for a, b in zip(old, new, strict=True)) < 0.5
        own = [text_box(s) for s in body.label[: len(body.item.lines) + 2] if isinstance(s, Text)]
        assert all(gap(box, new) < 0 for box in own), name
    words = [Words(b.id, b.label_box) for b in after.bodies.values() if b.label_box]
    assert find_faults(frames_of(after), wires_of(after), words) == ()


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_label_of_an_example_touches_a_line(name: str) -> None:
    assert {n: g for n, g in gaps(drawn(name).layout).items() if g < 0.2} == {}
