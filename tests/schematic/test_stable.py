"""A small edit of the text leaves the rest of the sheet in its place."""

from __future__ import annotations

import pytest

from circuitcheck.schematic import Drawing, Item, Net, Netlist, draw
from circuitcheck.symbols import Look, all_symbols
from tests.schematic.machines import machine, press


def with_gauge(netlist: Netlist, net: str) -> Netlist:
    symbol = all_symbols()["gauge"](Look())
    gauge = Item("G9", "gauge", symbol, ("0 to 250 bar",), order=999)
    nets = tuple(
        Net(n.id, n.kind, (*n.pins, ("G9", "M")), n.label) if n.id == net else n
        for n in netlist.nets
    )
    return Netlist((*netlist.items, gauge), nets, netlist.hints, netlist.values)


def rows(drawing: Drawing) -> dict[float, list[str]]:
    """Name the items that stand at one height, from left to right, by that height."""
    found: dict[float, list[str]] = {}
    bodies = drawing.layout.bodies
    for i in sorted(bodies, key=lambda k: bodies[k].pose.x):
        found.setdefault(bodies[i].pose.y, []).append(i)
    return found


MACHINES = {
    "press": press(),
    "bank": machine(["cylinder", "holding", "motor"]),
    "metered": machine(["metered", "cylinder"]),
}


@pytest.mark.parametrize("name", MACHINES)
def test_one_more_gauge_turns_no_order_round(name: str) -> None:
    netlist = MACHINES[name]
    net = next(n.id for n in netlist.nets if n.kind == "work")
    before, after = draw(netlist, "t"), draw(with_gauge(netlist, net), "t")
    places = {i: body.pose.x for i, body in after.layout.bodies.items()}
    for row in rows(before).values():
        assert row == sorted(row, key=places.__getitem__)
    mirrored = {i for i, b in before.layout.bodies.items() if b.pose.mirrored}
    assert mirrored == {i for i, b in after.layout.bodies.items() if b.pose.mirrored and i != "G9"}


@pytest.mark.parametrize("name", MACHINES)
def test_one_more_gauge_moves_its_own_branch_only(name: str) -> None:
    """Up to where the gauge stands all keep their distance; behind it all moves together."""
    netlist = MACHINES[name]
    net = next(n.id for n in netlist.nets if n.kind == "work")
    before, after = draw(netlist, "t"), draw(with_gauge(netlist, net), "t")
    bodies = before.layout.bodies
    moved = {i: after.layout.bodies[i].pose.x - body.pose.x for i, body in bodies.items()}
    shifts = sorted(moved.values())
    usual = shifts[len(shifts) // 2]
    stayed = [i for i, shift in moved.items() if abs(shift - usual) <= 2 or shift == 0]
    assert len(stayed) >= 0.7 * len(moved)
