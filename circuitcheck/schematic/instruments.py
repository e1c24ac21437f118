"""Puts gauges and the like on a sheet that stands already, where there is room at their line.

Nothing else moves for them: so one more gauge in the text leaves the sheet as it is.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from circuitcheck.basics.shapes import Box, Point, Pose
from circuitcheck.schematic.bodies import Body, make_body, union
from circuitcheck.schematic.case import Case, make_case
from circuitcheck.schematic.differences import UnplaceableError
from circuitcheck.schematic.grid import CLOSED, DIRECTION, STEP, Arms, Grid
from circuitcheck.schematic.netlist import Enclosure, Item, Net, Netlist
from circuitcheck.schematic.opening import opened
from circuitcheck.schematic.placing import Layout, Line, grid_for, moved_body
from circuitcheck.schematic.routing import link, polylines, tees
from circuitcheck.schematic.ways import Search, Spread, find_way
from circuitcheck.symbols import OUTWARD
from circuitcheck.symbols._parts import Spot

_ROUND = 26
"""So far from the sheet there is still room [M]."""
_APART, _OFF_LINES = 1.0, 0.5
"""Least distance of an instrument from other parts and from lines [M]."""
_OUTLINE, _NAME = 1.5, 3.0
"""Room round the parts of a block for its outline, and above them for its name as well [M]."""
_BENDS = 4
_GROWTH = 30
"""Cost of each module by which the sheet grows, as of three modules of line (own choice)."""
_SPOTS: tuple[Spot, ...] = ("right", "above", "left")
_FAR = 1000
"""What a line to an instrument may cost before room is made nearer: as three bends and 64
modules do, or one crossing, two bends and 26 modules (own choice)."""


def attach(
    layout: Layout, netlist: Netlist, free: tuple[str, ...], opening: bool = True
) -> tuple[Layout, tuple[Item, ...]]:
    """Add the free instruments of a netlist to the sheet of all the rest, in order of the text.

    Also gives those for which there was no place. Where a line to one of them would be long or
    cross another one, room is made at its line (``opening``).
    """
    if not free:
        return layout, ()
    case = make_case(netlist, signals_above=layout.case.signals_above)
    sheet = _Sheet(layout, case, netlist.enclosures)
    lost: list[Item] = []
    for item in (case.items[i] for i in free):
        if sheet.add(item, _FAR):
            continue
        net = next(iter(case.nets_of(item.id)), None)
        sizes = [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in map(Body.extent, sheet.forms(item))]
        wider = opened(sheet.layout(), net.id, sizes) if opening and net else None
        if wider is not None:
            roomy = _Sheet(wider, case, netlist.enclosures)
            if roomy.add(item, _FAR):
                sheet = roomy
                continue
        if not sheet.add(item, CLOSED - 1):
            lost.append(item)
    return sheet.layout(), tuple(lost)


class _Sheet:
    """What stands on the sheet, as boxes and on the grid of its lines."""

    def __init__(self, layout: Layout, case: Case, enclosures: tuple[Enclosure, ...]) -> None:
        self.before, self.case = layout, case
        self.bodies = dict(layout.bodies)
        self.numbers = {net: number for number, net in enumerate(case.nets)}
        self.extent = layout.extent()
        self.grid = grid_for(layout.bodies, layout.shafts, self.extent, _ROUND)
        self.arms = {line.net.id: _arms_of(self.grid, line) for line in layout.lines}
        for net, arms in self.arms.items():
            self.grid.lay(self.numbers[net], arms)
        self.taken = np.zeros((self.grid.height, self.grid.width), bool)
        for body in layout.bodies.values():
            for box in body.boxes():
                self._take(box, 0.0)
        for a, b in _stretches(layout):
            self._take((min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])), 0.5)
        self.blocks: list[tuple[frozenset[str], Box]] = []
        self._keep_blocks(enclosures)

    def _keep_blocks(self, enclosures: Iterable[Enclosure]) -> None:
        """Leave the insides of blocks to their own parts."""
        for block in enclosures:
            boxes = [b for i in block.items if i in self.bodies for b in self.bodies[i].boxes()]
            if boxes:
                x0, y0, x1, y1 = union(boxes)
                self._take((x0, y0 - _NAME, x1, y1), _OUTLINE)
                outline = (x0 - _OUTLINE, y0 - _OUTLINE, x1 + _OUTLINE, y1 + _OUTLINE)
                self.blocks.append((frozenset(block.items), outline))

    def _take(self, box: Box, by: float) -> None:
        x0, y0 = math.floor(box[0] - by) - self.grid.x0, math.floor(box[1] - by) - self.grid.y0
        x1, y1 = math.ceil(box[2] + by) - self.grid.x0, math.ceil(box[3] + by) - self.grid.y0
        self.taken[max(y0, 0) : max(y1, 0), max(x0, 0) : max(x1, 0)] = True

    def add(self, item: Item, far: int) -> bool:
        """Find the best place for an instrument and join it; False if there is none.

        ``far`` is what its line may cost at most, in tenths of a module.
        """
        solid = self.grid.solid.copy()
        joined = {i for net in self.case.nets_of(item.id) for i, _ in net.pins}
        for items, box in self.blocks:
            if not items & joined:
                self.grid.block(box)
        placed = self._placed(item, far)
        self.grid.solid[:] = solid
        for box in placed.boxes() if placed is not None else ():
            self.grid.block(box)
        return placed is not None

    def _placed(self, item: Item, far: int) -> Body | None:
        costs = self._costs(item)
        best: tuple[float, int, int, Body] | None = None
        for body in self.forms(item):
            total = costs + self._standing(body)
            at = int(total.argmin())
            y, x = divmod(at, self.grid.width)
            if total[y, x] <= far and (best is None or total[y, x] < best[0]):
                best = (float(total[y, x]), x, y, body)
        if best is None:
            return None
        _, x, y, body = best
        body = moved_body(body, x + self.grid.x0, y + self.grid.y0)
        return body if self._stand(body) else None

    def forms(self, item: Item) -> Iterable[Body]:
        """Give the item about its own origin, with its label at one side or another."""
        tanks = self.case.tanks[item.id]
        seen: set[Box | None] = set()
        for spot in _SPOTS:
            symbol = replace(item.symbol, label_spots=(spot, *item.symbol.label_spots))
            try:
                body = make_body(
                    replace(item, symbol=symbol),
                    Pose(0.0, 0.0),
                    self.case.joined(item.id),
                    tanks,
                    tank_codes=self._several_tanks(),
                )
            except UnplaceableError:
                continue
            if body.label_box not in seen:
                seen.add(body.label_box)
                yield replace(body, item=item)

    def _several_tanks(self) -> bool:
        return len({t.id for marks in self.case.tanks.values() for t in marks.values()}) > 1

    def _costs(self, item: Item) -> NDArray[np.float64]:
        """Give what it costs to lead a line to an instrument whose origin is at each node."""
        shape = self.taken.shape
        costs = np.full(shape, float(CLOSED))
        net = next(iter(self.case.nets_of(item.id)), None)
        if net is None:
            return self._beside_tank(item)
        port = next(p for i, p in net.pins if i == item.id)
        anchor = item.symbol.anchors[port]
        arms = self.arms.get(net.id)
        if not arms:
            return costs
        edge = (2, 2, self.grid.width - 3, self.grid.height - 3)
        ask = self._question(net, arms, next(iter(arms)), 0)
        coming = Spread(self.grid, ask, edge, _BENDS).coming((DIRECTION[anchor.side] + 2) % 4)
        dx, dy = OUTWARD[anchor.side]
        up, left = round(anchor.y) + dy, round(anchor.x) + dx
        # an origin at (y, x) has the exit of its port at (y + up, x + left)
        y0, x0 = 2 - up, 2 - left
        field = np.pad(coming, 12, constant_values=CLOSED)
        part = field[12 - y0 : 12 - y0 + shape[0], 12 - x0 : 12 - x0 + shape[1]]
        costs[: part.shape[0], : part.shape[1]] = part
        return costs

    def _beside_tank(self, item: Item) -> NDArray[np.float64]:
        """Give how far each node is from the other ports that lead to the same tank."""
        shape = self.taken.shape
        tanks = {tank.id for tank in self.case.tanks[item.id].values()}
        marks = [m for b in self.bodies.values() for m in b.marks if m.tank in tanks]
        ys, xs = np.arange(shape[0])[:, None], np.arange(shape[1])[None, :]
        costs = np.full(shape, float(CLOSED) if marks else 0.0)
        for mark in marks:
            x, y = mark.line[-1]
            away = abs(xs + self.grid.x0 - x) + abs(ys + self.grid.y0 - y)
            costs = np.minimum(costs, STEP * away)
        return costs

    def _standing(self, body: Body) -> NDArray[np.float64]:
        """Give what it costs to have a body's origin at each node: CLOSED where it has no room."""
        shape = self.taken.shape
        total = np.zeros((shape[0] + 1, shape[1] + 1), np.int64)
        total[1:, 1:] = self.taken.cumsum(axis=0).cumsum(axis=1)
        ys, xs = np.arange(shape[0])[:, None], np.arange(shape[1])[None, :]
        costs = np.zeros(shape)
        for box in body.boxes():
            x0, y0 = math.floor(box[0] - _APART), math.floor(box[1] - _APART)
            x1, y1 = math.ceil(box[2] + _APART), math.ceil(box[3] + _APART)
            tops, feet = (np.clip(ys + by, 0, shape[0]) for by in (y0, y1))
            lefts, rights = (np.clip(xs + by, 0, shape[1]) for by in (x0, x1))
            inside = (
                total[feet, rights] - total[tops, rights] - total[feet, lefts] + total[tops, lefts]
            )
            off = (
                (ys + y0 < 2) | (ys + y1 > shape[0] - 2) | (xs + x0 < 2) | (xs + x1 > shape[1] - 2)
            )
            costs[(inside > 0) | off] = CLOSED
        west, north, east, south = body.extent()
        left, top, right, bottom = self.extent
        beyond = np.maximum(left - (xs + self.grid.x0 + west), 0)
        beyond = beyond + np.maximum(xs + self.grid.x0 + east - right, 0)
        below = np.maximum(top - (ys + self.grid.y0 + north), 0)
        below = below + np.maximum(ys + self.grid.y0 + south - bottom, 0)
        costs += _GROWTH * (beyond + below)
        return costs

    def _stand(self, body: Body) -> bool:
        """Put an instrument on the sheet and lead its line."""
        net = next(iter(self.case.nets_of(body.id)), None)
        for box in body.boxes():
            self.grid.block(box)
        if net is not None:
            port = next(p for i, p in net.pins if i == body.id)
            anchor = body.anchor(port)
            arms = self.arms[net.id]
            heading = DIRECTION[anchor.side]
            own = self.grid.node(anchor.x, anchor.y)
            start = own + self.grid.steps()[heading]
            ask = self._question(net, arms, start, heading)
            way: list[int] | None = [start]
            if start not in arms:
                edge = (2, 2, self.grid.width - 3, self.grid.height - 3)
                found = find_way(self.grid, ask, edge)
                way = found[0] if found else None
            if way is None:
                return False
            self.grid.lift(self.numbers[net.id], arms)
            for a, b in pairwise([own, *way]):
                link(arms, a, b, self.grid.steps().index(b - a))
            self.grid.lay(self.numbers[net.id], arms)
            places = [self.grid.place(node) for node in [own, *way]]
            for (ax, ay), (bx, by) in pairwise(places):
                self._take((min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)), 0.5)
        for box in body.boxes():
            self._take(box, 0.0)
        self.extent = union([self.extent, body.extent()])
        self.bodies[body.id] = body
        return True

    def _question(self, net: Net, arms: Arms, start: int, heading: int) -> Search:
        whole = (0, 0, self.grid.width, self.grid.height)
        return Search(self.numbers[net.id], start, heading, arms, {}, whole, None, frozenset())

    def layout(self) -> Layout:
        """Give the sheet as it is now."""
        shown = {line.net.id: line for line in self.before.lines}
        lines: list[Line] = []
        for net, arms in self.arms.items():
            old = shown[net]
            pins = [pin for pin in self.case.nets[net].pins if pin[0] in self.bodies]
            if {pin for pin, _ in old.pins} == set(pins):
                lines.append(replace(old, net=self.case.nets[net]))
                continue
            anchors = [(pin, self.bodies[pin[0]].anchor(pin[1])) for pin in pins]
            ways = polylines(self.grid, arms)
            lines.append(Line(self.case.nets[net], ways, tees(self.grid, arms), anchors))
        bodies = {i: self.bodies[i] for i in self.case.items if i in self.bodies}
        return replace(self.before, case=self.case, bodies=bodies, lines=lines)


def _arms_of(grid: Grid, line: Line) -> Arms:
    """Give the nodes of a drawn line, each with the directions in which it leaves."""
    arms: Arms = {}
    for way in line.ways:
        for (ax, ay), (bx, by) in pairwise(way):
            heading = (1 if bx > ax else 3) if ay == by else (2 if by > ay else 0)
            step, node = grid.steps()[heading], grid.node(ax, ay)
            for _ in range(round(abs(bx - ax) + abs(by - ay))):
                link(arms, node, node + step, heading)
                node += step
    return arms


def _stretches(layout: Layout) -> Iterable[tuple[Point, Point]]:
    for line in layout.lines:
        for way in line.ways:
            yield from pairwise(way)
    for _, a, b in layout.shafts:
        yield a, b
