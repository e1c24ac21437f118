"""Large circuits on several sheets: nothing lost, branches whole, cut lines refer to each other."""

from __future__ import annotations

from itertools import pairwise

import pytest

from circuitcheck.schematic import Netlist, draw, split
from tests.schematic.machines import machine, press

MACHINE = machine(["holding", "cylinder", "motor", "locked"], extras=["gauge"])


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


def test_a_small_circuit_stays_on_one_sheet() -> None:
    assert split(press(), 30) == [press()]


def test_a_sheet_for_no_parts_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one part"):
        split(press(), 0)
