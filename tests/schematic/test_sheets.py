"""Large circuits on several sheets: nothing lost, branches whole, cut lines refer to each other."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from circuitcheck.schematic import Hint, Netlist, draw, refer_to_fields, split
from circuitcheck.schematic.paper import Paper, field_at
from tests.schematic.machines import machine, press

MACHINE = machine(["holding", "cylinder", "motor", "locked"], extras=["gauge"])


MARKS = ("continued above", "continued below")


def parts(netlist: Netlist) -> list[str]:
    marks = ("tank", "continued above", "continued below")
    return [item.id for item in netlist.items if item.kind not in marks]


def test_every_part_stands_on_one_sheet() -> None:
    sheets = split(MACHINE, 6)
    assert len(sheets) > 2
    listed = [name for sheet in sheets for name in parts(sheet)]
    assert sorted(listed) == sorted(parts(MACHINE))


def test_every_pin_keeps_its_line() -> None:
    whole = {(net.id, pin) for net in MACHINE.nets for pin in net.pins}
    drawn = {(net.id, pin) for sheet in split(MACHINE, 6) for net in sheet.nets for pin in net.pins}
    assert {entry for entry in drawn if entry[1][1] != "go on"} == whole


def test_a_cut_line_names_the_other_sheets_at_both_ends() -> None:
    sheets = split(MACHINE, 6)
    ends: dict[str, dict[int, str]] = {}
    for number, sheet in enumerate(sheets, 1):
        for item in sheet.items:
            if item.kind.startswith("continued"):
                ends.setdefault(item.id, {})[number] = item.lines[0]
    assert ends
    for where in ends.values():
        for number, text in where.items():
            others = ", ".join(str(k) for k in where if k != number)
            assert text == f"sheet {others}"


def test_branches_follow_in_the_order_of_the_text() -> None:
    valves = [
        [item.order for item in sheet.items if item.role == "valve"] for sheet in split(MACHINE, 6)
    ]
    assert all(a < b for a, b in pairwise([order for sheet in valves for order in sheet]))


@pytest.mark.parametrize("number", range(len(split(MACHINE, 6))))
def test_every_sheet_is_drawn_without_faults_and_numbered(number: int) -> None:
    sheets = split(MACHINE, 6)
    drawing = draw(sheets[number], "Machine")
    assert drawing.faults == ()
    assert f">{number + 1}/{len(sheets)}<" in drawing.svg()
    assert f">{number + 1}/{len(sheets)}<" in drawing.svg("A3")


def test_a_part_goes_on_the_sheet_that_is_wished_with_its_branch() -> None:
    wished = replace(MACHINE, hints=(Hint("C2", "sheet", "2"), Hint("M3", "left of", "V1")))
    first, second = split(wished)
    assert parts(second) == ["V2", "C2"]
    assert "V1" in parts(first)
    for sheet in (first, second):
        assert draw(sheet, "Machine").notices == ()


def test_two_wishes_for_one_branch_are_not_both_heeded() -> None:
    wished = replace(MACHINE, hints=(Hint("V2", "sheet", "2"), Hint("C2", "sheet", "1")))
    notices = [draw(sheet, "Machine").notices for sheet in split(wished)]
    assert notices == [(), ("The wish 'C2 sheet 1' could not be heeded.",)]


def test_a_cut_line_names_the_field_of_the_grid_where_it_goes_on() -> None:
    paper = "A3, landscape"
    sheets = refer_to_fields([draw(sheet, "Machine") for sheet in split(MACHINE, 6)], paper)
    assert len(sheets) > 2
    for number, sheet in enumerate(sheets, 1):
        marks = [b.item for b in sheet.layout.bodies.values() if b.item.kind in MARKS]
        assert marks
        svg = sheet.svg(paper)
        for mark in marks:
            fields = {
                k: other.field_of(mark.id, paper)
                for k, other in enumerate(sheets, 1)
                if k != number and mark.id in other.layout.bodies
            }
            assert all(re.fullmatch(r"[A-HJ-N][1-9]", field) for field in fields.values())
            text = "sheet " + ", ".join(f"{k} {field}" for k, field in fields.items())
            assert mark.lines == (text,)
            assert f">{text}<" in svg


def test_a_mark_stands_in_the_field_that_is_named() -> None:
    """The fields of an A3 sheet are 50 mm, counted from its middle; ISO 5457 (from memory)."""
    paper = Paper("A3", 420.0, 297.0)
    assert field_at(paper, 30.0, 20.0) == "A1"
    assert field_at(paper, 209.0, 147.0) == "C4"
    assert field_at(paper, 211.0, 150.0) == "D5"
    assert field_at(paper, 400.0, 280.0) == "F8"


def test_a_small_circuit_stays_on_one_sheet() -> None:
    assert split(press(), 30) == [press()]


def test_a_sheet_for_no_parts_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one part"):
        split(press(), 0)
