"""A small edit of the text leaves the rest of the sheet in its place.

One junction of each sheet here, drawn by lot with the sheet's name as seed; all junctions of all
examples, neutral cases and banks: python -m tests.schematic.gauges
"""

from __future__ import annotations

import random

import pytest

from circuitcheck.basics.folders import folder
from circuitcheck.schematic import Netlist, draw
from circuitcheck.schematic.check import bends, crossings, find_faults
from circuitcheck.schematic.opening import opened
from circuitcheck.schematic.placing import frames_of, wires_of
from tests.schematic import neutral
from tests.schematic.banks import BANKS
from tests.schematic.figures import netlists
from tests.schematic.gauges import NAME, junctions, looked_at, with_gauge
from tests.schematic.machines import machine, press

MACHINES = {
    "machine: press": press(),
    "machine: bank": machine(["cylinder", "holding", "motor"]),
    "machine: metered": machine(["metered", "cylinder"]),
}
SHEETS = [*MACHINES, *sorted(path.stem for path in folder("examples").glob("*.hyc")), "bank of 3"]


def netlist_of(name: str) -> Netlist:
    return MACHINES[name] if name in MACHINES else next(iter(netlists([name])))[1]


@pytest.mark.parametrize("name", SHEETS)
def test_one_more_gauge_moves_nothing_or_all_beyond_it_by_one_step(name: str) -> None:
    netlist = netlist_of(name)
    net = random.Random(name).choice(junctions(netlist))
    (found,) = looked_at(netlist, [net])
    assert found.others == frozenset()
    assert 2 * len(found.step) <= len(netlist.items)
    assert found.crossings <= 2


def test_where_there_is_room_nothing_moves_at_all() -> None:
    netlist = MACHINES["machine: press"]
    assert [one for one in looked_at(netlist, junctions(netlist)) if one.step] == []


def test_a_gauge_leaves_all_other_lines_as_they_are() -> None:
    netlist = MACHINES["machine: bank"]
    before, after = draw(netlist, "t"), draw(with_gauge(netlist, "pressure"), "t")
    ways = {line.net.id: line.ways for line in after.layout.lines}
    assert NAME in after.layout.bodies
    for line in before.layout.lines:
        assert line.net.id == "pressure" or ways[line.net.id] == line.ways


@pytest.mark.parametrize("name", ["clamp_stations", "bank of 2"])
def test_room_is_made_without_a_fault_a_bend_or_a_crossing(name: str) -> None:
    netlist = neutral.to_netlist(BANKS[name]) if name in BANKS else netlist_of(name)
    layout = draw(netlist, "t").layout
    made = 0
    for line in layout.lines:
        wider = opened(layout, line.net.id, [(10.0, 8.0)])
        if wider is None:
            continue
        made += 1
        assert find_faults(frames_of(wider), wires_of(wider), []) == ()
        assert bends(wires_of(wider)) == bends(wires_of(layout))
        assert crossings(wires_of(wider)) == crossings(wires_of(layout))
        shifts = {
            (wider.bodies[i].pose.x - b.pose.x, wider.bodies[i].pose.y - b.pose.y)
            for i, b in layout.bodies.items()
        }
        assert len(shifts) <= 2
    assert made > len(layout.lines) / 3
