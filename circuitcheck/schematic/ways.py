"""The cheapest way across the grid, from a port to the line that is already there.

All ways with n bends are followed at once: from what was reached with n - 1 bends a sweep
goes along every row (or every column) of a window, in both directions, as a running minimum.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from circuitcheck.schematic.grid import (
    BEND,
    CLOSED,
    EAST,
    JOIN,
    NORTH,
    OFF_RAIL,
    ON_OTHER_RAIL,
    SOUTH,
    STEP,
    WEST,
    Arms,
    Costs,
    Grid,
    Reached,
    is_straight,
)

_SEARCH, _SWEEP = 130, 40
"""What a search counts as work, and how many nodes of a sweep count one more, by their time."""
_MOST_BENDS = 60


@dataclass(frozen=True)
class Search:
    """One question to the grid: from a port's exit to any node of the line already there."""

    net: int
    start: int
    heading: int
    tree: Arms
    pending: Arms
    """Where further pins of the net will come to it, and from which side."""
    reach: Reached
    """Where the line already there lies."""
    level: int | None
    """y of the net's rail, if it is one."""
    other_levels: frozenset[int]
    push: bool = False
    off_level: int = OFF_RAIL
    """Cost of each module along the sheet beside that level."""


def find_way(grid: Grid, ask: Search, window: Reached) -> tuple[list[int], int] | None:
    """Give the cheapest way as nodes, and its cost; None if there is none in the window."""
    return _Sweeps(grid, ask, window).found()


class _Sweeps:
    """What was reached so far, by axis: 0 up and down, 1 across.

    All fields of an axis have shape (2, rows, columns): the way against the numbering of the
    nodes, turned round so that it runs with it, and the way with it.
    """

    def __init__(self, grid: Grid, ask: Search, window: Reached) -> None:
        self.grid, self.ask, self.window = grid, ask, window
        grid.looked += _SEARCH
        x0, y0 = window[:2]
        level, upright = grid.entering(ask.net, window, push=ask.push)
        level += np.array(_costs_of_rows(grid, ask)[y0 : window[3] + 1], dtype=np.int64)[:, None]
        self.crossing = grid.crossed(ask.net, window)
        """Where a line that turns into an axis would turn on another line."""
        self.start = (ask.start // grid.width - y0, ask.start % grid.width - x0)
        self.sources = self._sources(level.shape)
        self.ends = self._ends((upright, level))
        self._close(upright, level)
        self.left = self._left()
        self.so_far = [
            np.cumsum(_both_ways(cost, axis), axis=axis + 1)
            for axis, cost in enumerate((upright, level))
        ]
        self.moved = [np.full_like(so_far, CLOSED) for so_far in self.so_far]
        self.begun = [np.full_like(so_far, CLOSED) for so_far in self.so_far]
        self.turned = [np.full_like(self.left, CLOSED) for _ in (0, 1)]
        self.best: tuple[int, int, int] | None = None
        """Cost, axis and place in the fields of the axis of the cheapest end."""

    def found(self) -> tuple[list[int], int] | None:
        """Follow the ways with no bend, with one, with two ... while a cheaper one is possible."""
        axis = self.ask.heading & 1
        for bends in range(_MOST_BENDS):
            turned = self._turned(axis)
            fresh = np.where(turned < self.turned[axis], turned + self.left, CLOSED)
            if bends and int(fresh.min()) >= (CLOSED if self.best is None else self.best[0]):
                break
            self.turned[axis] = turned
            self._sweep(turned, axis)
            axis ^= 1
        if self.best is None:
            return None
        return self._traced(), self.best[0]

    def _sources(self, shape: tuple[int, ...]) -> list[Costs]:
        """Give where ways begin: at the exit of the port, ahead for nothing, aside for a bend."""
        sources = [np.full((2, *shape), CLOSED, np.int64) for _ in (0, 1)]
        for heading in (h for h in range(4) if h != (self.ask.heading + 2) % 4):
            axis, along = heading & 1, heading in (EAST, SOUTH)
            field = sources[axis][1] if along else _flipped(sources[axis][0], axis)
            field[self.start] = 0 if heading == self.ask.heading else BEND
        return sources

    def _left(self) -> Costs:
        """Give the length that is left at least from every node to the line that is there."""
        (x0, y0, x1, y1), (west, top, east, bottom) = self.window, self.ask.reach
        xs, ys = np.arange(x0, x1 + 1), np.arange(y0, y1 + 1)
        across = np.maximum(np.maximum(west - xs, xs - east), 0)
        down = np.maximum(np.maximum(top - ys, ys - bottom), 0)
        left: Costs = STEP * (down[:, None] + across[None, :])
        return left

    def _turned(self, axis: int) -> Costs:
        """Give what it costs to stand at a node and look along an axis, after a turn."""
        against, along = self.moved[1 - axis]
        turned: Costs = np.minimum(_flipped(against, 1 - axis), along)
        turned += BEND
        turned[self.crossing[axis]] = CLOSED
        np.minimum(turned, CLOSED, out=turned)
        return turned

    def _sweep(self, begun: Costs, axis: int) -> None:
        """Go on from where a way looks along an axis."""
        self.grid.looked += begun.size // _SWEEP
        both, so_far = _both_ways(begun, axis), self.so_far[axis]
        np.minimum(both, self.sources[axis], out=both)
        least = np.minimum.accumulate(both - so_far, axis=axis + 1)
        moved = np.full_like(both, CLOSED)
        if axis:
            np.add(least[:, :, :-1], so_far[:, :, 1:], out=moved[:, :, 1:])
        else:
            np.add(least[:, :-1], so_far[:, 1:], out=moved[:, 1:])
        np.minimum(moved, CLOSED, out=moved)
        self.moved[axis], self.begun[axis] = moved, both
        places, costs = self.ends[axis]
        if places.size:
            total = np.minimum(moved.ravel()[places], both.ravel()[places]) + costs
            at = int(total.argmin())
            if total[at] < (CLOSED if self.best is None else self.best[0]):
                self.best = (int(total[at]), axis, int(places[at]))

    def _ends(self, costs: tuple[Costs, Costs]) -> list[tuple[Costs, Costs]]:
        """List what it costs to end in the nodes of the line that is there.

        By axis: place of the node before the last in the fields of the axis, cost of the last
        step.
        """
        rows, columns = costs[0].shape
        bits = dict(self.ask.tree)
        for node in self.ask.pending.keys() & bits:
            bits[node] |= self.ask.pending[node]
        nodes = np.fromiter(bits, np.int64, len(bits))
        arms = np.fromiter(bits.values(), np.int64, len(bits))
        y, x, inside = self._places(nodes)
        y, x, arms = y[inside], x[inside], arms[inside]
        found = []
        for axis in (0, 1):
            enter = costs[axis][y, x]
            open_ = (enter < CLOSED) & ~self.crossing[1 - axis][y, x]
            places, prices = [], []
            for way, heading in enumerate((NORTH, SOUTH) if axis == 0 else (WEST, EAST)):
                join = _JOINING[arms, heading]
                # the node before, counted as the fields of this way are
                by = y - (axis == 0) if way else rows - 2 - y if axis == 0 else y
                bx = x - (axis == 1) if way else columns - 2 - x if axis == 1 else x
                fit = open_ & (join >= 0) & (by >= 0) & (bx >= 0)
                places.append(((way * rows + by) * columns + bx)[fit])
                prices.append((enter + join)[fit])
            found.append((np.concatenate(places), np.concatenate(prices)))
        return found

    def _places(self, nodes: Costs) -> tuple[Costs, Costs, NDArray[np.bool_]]:
        """Give row and column of nodes in the window, and whether they lie in it."""
        x0, y0, x1, y1 = self.window
        y, x = nodes // self.grid.width - y0, nodes % self.grid.width - x0
        return y, x, (y >= 0) & (y <= y1 - y0) & (x >= 0) & (x <= x1 - x0)

    def _close(self, *costs: Costs) -> None:
        """Close the nodes of the line that is there and those where it will get a joint."""
        joints = [n for n, bits in self.ask.pending.items() if bits.bit_count() > 1]
        nodes = np.array([*self.ask.tree, *joints], np.int64)
        y, x, inside = self._places(nodes)
        closed = inside & (nodes != self.ask.start)
        for cost in costs:
            cost[y[closed], x[closed]] = CLOSED

    def _traced(self) -> list[int]:
        """Follow the cheapest way back to its start."""
        assert self.best is not None
        _, axis, place = self.best
        rows, columns = self.left.shape
        way, cell = divmod(place, rows * columns)
        y, x = divmod(cell, columns)
        if way == 0:
            y, x = (rows - 1 - y, x) if axis == 0 else (y, columns - 1 - x)

        def at(fields: list[Costs], axis: int, way: int) -> int:
            here = (y, x)
            if way == 0:
                here = (rows - 1 - y, x) if axis == 0 else (y, columns - 1 - x)
            return int(fields[axis][(way, *here)])

        step = 1 if way else -1
        nodes = [(y + step, x) if axis == 0 else (y, x + step), (y, x)]
        while at(self.begun, axis, way) > 0:
            if at(self.moved, axis, way) <= at(self.begun, axis, way):
                step = -1 if way else 1
                y, x = (y + step, x) if axis == 0 else (y, x + step)
                nodes.append((y, x))
                continue
            if (y, x) == self.start:
                break
            axis ^= 1
            way = int(at(self.moved, axis, 1) <= at(self.moved, axis, 0))
        x0, y0 = self.window[:2]
        return [(y + y0) * self.grid.width + x + x0 for y, x in reversed(nodes)]


class Spread(_Sweeps):
    """What it costs to go from a line that is there to the nodes round it."""

    def __init__(self, grid: Grid, ask: Search, window: Reached, bends: int) -> None:
        super().__init__(grid, ask, window)
        self.ends = [(np.empty(0, np.int64), np.empty(0, np.int64))] * 2
        for _ in range(bends + 1):
            for axis in (0, 1):
                self._sweep(self._turned(axis), axis)

    def coming(self, heading: int) -> Costs:
        """Give what it costs to come to each node in a direction, shape (rows, columns)."""
        axis, along = heading & 1, heading in (EAST, SOUTH)
        return self.moved[axis][1] if along else _flipped(self.moved[axis][0], axis)

    def _sources(self, shape: tuple[int, ...]) -> list[Costs]:
        """Give where ways begin: at every node of the line where it may get a joint."""
        sources = [np.full((2, *shape), CLOSED, np.int64) for _ in (0, 1)]
        x0, y0 = self.window[:2]
        for node, arms in self.ask.tree.items():
            y, x = node // self.grid.width - y0, node % self.grid.width - x0
            crossed = self.crossing[0][y, x] or self.crossing[1][y, x]
            for heading in range(4) if not crossed else ():
                price = int(_JOINING[arms, (heading + 2) % 4])
                axis, along = heading & 1, heading in (EAST, SOUTH)
                field = sources[axis][1] if along else _flipped(sources[axis][0], axis)
                field[y, x] = price if price >= 0 else CLOSED
        return sources


def _both_ways(field: Costs, axis: int) -> Costs:
    return np.stack((_flipped(field, axis), field))


def _flipped(field: Costs, axis: int) -> Costs:
    return field[:, ::-1] if axis else field[::-1]


def _costs_of_rows(grid: Grid, ask: Search) -> list[int]:
    """Give what each module along the sheet costs more, by row of the grid."""
    costs = [0 if ask.level is None else ask.off_level] * grid.height
    for y in ask.other_levels:
        costs[y - grid.y0] += ON_OTHER_RAIL
    if ask.level is not None:
        costs[ask.level - grid.y0] = 0
    return costs


def _joining(arms: int, heading: int) -> int:
    """Give the cost of ending in a node of the own line, -1 if it is a tee already."""
    count = arms.bit_count()
    back = 1 << ((heading + 2) % 4)
    if count >= 3 or arms & back:
        return -1
    if count == 1:
        return 0 if is_straight(arms | back) else BEND
    return JOIN


_JOINING = np.array([[_joining(arms, heading) for heading in range(4)] for arms in range(16)])
"""By arms of a node and heading of the line that comes to it."""


def ahead(x: int, y: int, heading: int, reach: Reached) -> int:
    """Give what is left to a line at least, never more than it costs: length and needed bends."""
    x0, y0, x1, y1 = reach
    dx = x0 - x if x < x0 else x1 - x if x > x1 else 0
    dy = y0 - y if y < y0 else y1 - y if y > y1 else 0
    along, beside = (dx, dy) if heading & 1 else (dy, dx)
    against = along < 0 if heading in (EAST, SOUTH) else along > 0
    turns = 2 if against else 1 if beside else 0
    return STEP * (abs(dx) + abs(dy)) + BEND * turns
