"""Adds a gauge at every junction and counts what moves: python -m tests.schematic.gauges [name ...]

For every example, neutral case, bank and machine made to order: how many junctions there are;
at how many of them room had to be made for one more gauge, by a step of all on one side of it;
the most parts that take part in such a step; how many parts move otherwise; the crossings and
modules of line that a gauge costs at most. Names choose among them.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import dataclass, replace

from circuitcheck.schematic import Drawing, Item, Net, Netlist, draw
from circuitcheck.schematic.check import crossings, length
from circuitcheck.schematic.placing import wires_of
from circuitcheck.symbols import Look, all_symbols
from tests.schematic.figures import netlists

NAME = "G9"


@dataclass(frozen=True)
class Moved:
    """What one more gauge did: crossings and line [M] more, and the parts that moved.

    ``step`` are those that made room for it, all by one step; ``others`` moved otherwise.
    """

    junction: str
    step: frozenset[str]
    others: frozenset[str]
    crossings: int
    length: float


def with_gauge(netlist: Netlist, net: str) -> Netlist:
    """Give a netlist with one more gauge on a net."""
    symbol = all_symbols()["gauge"](Look())
    gauge = Item(NAME, "gauge", symbol, ("0 to 250 bar",), order=999)
    nets = tuple(
        replace(n, pins=(*n.pins, (NAME, "M"))) if n.id == net else n
        for n in netlist.nets
    )
    return replace(netlist, items=(*netlist.items, gauge), nets=nets)


def junctions(netlist: Netlist) -> list[Net]:
    """List the nets to which a gauge can be joined: oil lines between two ports or more."""
    return [net for net in netlist.nets if net.kind != "shaft" and len(net.pins) > 1]


def moved(before: Drawing, after: Drawing) -> tuple[frozenset[str], frozenset[str]]:
    """Name the parts that moved by one common step, and those that moved otherwise."""
    old, new = before.layout.bodies, after.layout.bodies
    ways: dict[tuple[float, float], set[str]] = {}
    turned: set[str] = set()
    for i, body in old.items():
        a, b = body.pose, new[i].pose
        if (a.quarters, a.mirrored) != (b.quarters, b.mirrored):
            turned.add(i)
        elif a != b:
            ways.setdefault((b.x - a.x, b.y - a.y), set()).add(i)
    usual = max(ways, key=lambda way: len(ways[way]), default=(0.0, 0.0))
    step = frozenset(ways.get(usual, ())) if 0.0 in usual else frozenset()
    return step, frozenset(turned.union(*ways.values())) - step


def looked_at(netlist: Netlist, nets: Iterable[Net]) -> Iterable[Moved]:
    """Draw a netlist with one more gauge on each of some nets; tell what that does."""
    before = draw(netlist, "t")
    wires = wires_of(before.layout)
    for net in nets:
        after = draw(with_gauge(netlist, net.id), "t")
        assert after.faults == ()
        more = wires_of(after.layout)
        yield Moved(
            net.id,
            *moved(before, after),
            crossings(more) - crossings(wires),
            length(more) - length(wires),
        )


def main(names: list[str]) -> None:
    print(
        f"{'':24}{'junctions':>10}{'room made':>11}{'parts':>7}{'others':>8}"
        f"{'cross':>7}{'length':>8}"
    )
    for name, netlist in netlists(names):
        found = list(looked_at(netlist, junctions(netlist)))
        print(
            f"{name:24}{len(found):10}{sum(bool(one.step) for one in found):11}"
            f"{max((len(one.step) for one in found), default=0):7}"
            f"{sum(len(one.others) for one in found):8}"
            f"{max((one.crossings for one in found), default=0):7}"
            f"{max((one.length for one in found), default=0.0):8.0f}",
            flush=True,
        )


if __name__ == "__main__":
    main(sys.argv[1:])
