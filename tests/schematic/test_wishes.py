"""The wishes of the writer are heeded: every relation once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from circuitcheck.schematic import Drawing, Hint, draw
from tests.schematic.machines import machine, press

MACHINE = machine(["holding", "cylinder", "motor"], extras=["gauge"])


def middle(drawing: Drawing, item: str) -> tuple[float, float]:
    x0, y0, x1, y1 = drawing.layout.bodies[item].symbol.frame
    return (x0 + x1) / 2, (y0 + y1) / 2


@pytest.mark.parametrize(
    "hint",
    [
        Hint("V2", "left of", "V1"),
        Hint("V1", "right of", "V3"),
        Hint("V3", "between", "V1", "V2"),
        Hint("C1", "above", "V1"),
    ],
    ids=str,
)
def test_a_wish_is_heeded(hint: Hint) -> None:
    drawing = draw(replace(MACHINE, hints=(hint,)), "test")
    assert drawing.notices == ()
    assert drawing.faults == ()


def test_a_relief_can_be_wished_lower_than_the_pump() -> None:
    usual = draw(press(), "test")
    wished = draw(replace(press(), hints=(Hint("R1", "below", "P1"),)), "test")
    assert middle(usual, "R1")[1] <= middle(usual, "P1")[1] + 4
    assert middle(wished, "R1")[1] > middle(wished, "P1")[1] + 4
    assert wished.notices == ()


def test_what_contradicts_itself_is_named() -> None:
    hints = (Hint("R1", "below", "P1"), Hint("R1", "above", "P1"))
    drawing = draw(replace(press(), hints=hints), "test")
    assert len(drawing.notices) == 1
    assert "could not be heeded" in drawing.notices[0]
