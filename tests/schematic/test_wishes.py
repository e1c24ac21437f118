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
        Hint("V2", "above", "V1"),
        Hint("V1", "below", "V3"),
        Hint("C2", "left of", "V1"),
        Hint("C1", "right of", "V3"),
        Hint("P1", "left of", "C1"),
        Hint("R1", "right of", "C2"),
        Hint("CB1", "right of", "V1"),
        Hint("F1", "between", "V1", "V3"),
        Hint("R1", "beside", "V1"),
        Hint("R1", "above", "V1"),
        Hint("G1", "right of", "V2"),
        Hint("V1", "column", "3"),
        Hint("M3", "column", "1"),
        Hint("R1", "column", "2"),
        Hint("F1", "turned", "180"),
        Hint("V1", "sheet", "1"),
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


def test_a_branch_moves_to_its_column_as_a_whole() -> None:
    drawing = draw(replace(MACHINE, hints=(Hint("C2", "column", "1"),)), "test")
    across = [middle(drawing, item)[0] for item in ("V2", "V1", "V3")]
    assert across == sorted(across)
    assert middle(drawing, "C2")[0] < middle(drawing, "C1")[0]


def test_a_symbol_is_turned_clockwise() -> None:
    usual = draw(MACHINE, "test").layout.bodies["F1"]
    turned = draw(replace(MACHINE, hints=(Hint("F1", "turned", "90"),)), "test").layout.bodies["F1"]
    sides = ("N", "E", "S", "W")
    for port in ("in", "out"):
        was, now = usual.anchor(port).side, turned.anchor(port).side
        assert sides.index(now) == (sides.index(was) + 1) % 4


@pytest.mark.parametrize(
    "hint",
    [
        Hint("V1", "turned", "90"),
        Hint("V1", "column", "7"),
        Hint("V1", "sheet", "2"),
        Hint("P1", "above", "C1"),
        Hint("P1", "beside", "V1"),
    ],
    ids=str,
)
def test_what_cannot_be_heeded_is_named(hint: Hint) -> None:
    drawing = draw(replace(MACHINE, hints=(hint,)), "test")
    assert drawing.notices == (f"The wish '{hint}' could not be heeded.",)
    assert drawing.faults == ()


def test_a_wish_that_nothing_can_be_drawn_with_does_not_cost_the_sheet() -> None:
    hint = Hint("R1", "above", "C1")
    drawing = draw(replace(press(), hints=(hint,)), "test")
    assert drawing.faults == ()
    assert drawing.notices in ((), (f"The wish '{hint}' could not be heeded.",))


def test_what_contradicts_itself_is_named() -> None:
    hints = (Hint("R1", "below", "P1"), Hint("R1", "above", "P1"))
    drawing = draw(replace(press(), hints=hints), "test")
    assert len(drawing.notices) == 1
    assert "could not be heeded" in drawing.notices[0]
