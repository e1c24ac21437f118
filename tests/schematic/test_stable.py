"""A small edit of the text leaves the rest of the sheet in its place."""

from __future__ import annotations

from dataclasses import replace
from statistics import median

import pytest

from circuitcheck.basics.folders import folder
from circuitcheck.schematic import Drawing, Item, Net, Netlist, draw
from circuitcheck.symbols import Look, all_symbols
from tests.schematic.figures import netlists
from tests.schematic.machines import machine, press


def with_gauge(netlist: Netlist, net: str) -> Netlist:
    symbol = all_symbols()["gauge"](Look())
    gauge = Item("G9", "gauge", symbol, ("0 to 250 bar",), order=999)
    nets = tuple(
        Net(n.id, n.kind, (*n.pins, ("G9", "M")), n.label) if n.id == net else n
        for n in netlist.nets
    )
    return replace(netlist, items=(*netlist.items, gauge), nets=nets)


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


EXAMPLES = sorted(path.stem for path in folder("examples").glob("*.hyc"))
FARTHER = {"twin_lift": 8}
"""Examples in which more than two parts outside the gauge's neighbourhood move, and how many."""


def outside(netlist: Netlist, net: Net) -> set[str]:
    """Name what is neither on a line nor, over a line of two or three ports, next to it."""
    near = {i for i, _ in net.pins}
    for other in netlist.nets:
        if len(other.pins) <= 3 and near & {i for i, _ in other.pins}:
            near = near | {i for i, _ in other.pins}
    return {item.id for item in netlist.items} - near


def moved(before: Drawing, after: Drawing) -> set[str]:
    """Name what moved otherwise than the most of its band, on its side of the new gauge."""
    old, new = before.layout.bodies, after.layout.bodies
    case, gauge = before.layout.case, new["G9"].middle()[0]
    found: set[str] = set()
    sides = [[i for i in old if (new[i].middle()[0] < gauge) == left] for left in (True, False)]
    bands = [case.above(), case.below()]
    for axis, groups in ((0, sides), (1, bands)):
        for group in filter(None, groups):
            by = {i: new[i].middle()[axis] - old[i].middle()[axis] for i in group}
            usual = median(by.values())
            # what stands between the rails and the valves gives way to the gauge's own height
            found |= {
                i
                for i, distance in by.items()
                if abs(distance - usual) > 2 and (axis == 0 or case.rows.get(i) != 0)
            }
    return found


@pytest.mark.parametrize("name", EXAMPLES)
def test_one_more_gauge_on_an_example_moves_its_neighbourhood_only(name: str) -> None:
    (_, netlist) = next(iter(netlists([name])))
    tanks = {item.id for item in netlist.items if item.role == "tank"}
    lines = [n for n in netlist.nets if not tanks & {i for i, _ in n.pins}]
    net = next(n for kind in ("work", "pressure") for n in lines if n.kind == kind)
    before, after = draw(netlist, "t"), draw(with_gauge(netlist, net.id), "t")
    for i, body in before.layout.bodies.items():
        assert after.layout.bodies[i].pose.mirrored == body.pose.mirrored
        assert after.layout.bodies[i].pose.quarters == body.pose.quarters
    assert len(moved(before, after) & outside(netlist, net)) <= FARTHER.get(name, 2)
