"""The module grid of a sheet: what stands where, and the cheapest way across it.

Lines run on whole modules. A node holds at most one line in each direction; two lines may
cross straight, nothing else. A* search; costs in tenths of a module of length.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from circuitcheck.basics.shapes import Box
from circuitcheck.symbols import Side

STEP, BEND, CROSSING = 10, 120, 500
BESIDE_LINE, BESIDE_FRAME, OFF_RAIL, ON_OTHER_RAIL, JOIN = 8, 4, 10, 12, 15
PUSH_ASIDE = 600
"""Cost of running over another line when that line will be routed again."""

NORTH, EAST, SOUTH, WEST = range(4)
DIRECTION: Mapping[Side, int] = {"N": NORTH, "E": EAST, "S": SOUTH, "W": WEST}
_TURNS = tuple((way, (way + 1) % 4, (way + 3) % 4) for way in range(4))
_FAR = 1 << 60
Arms = dict[int, int]
"""Node -> bits of the directions in which a line leaves it."""


def is_straight(arms: int) -> bool:
    """Tell whether the directions of a node are just two opposite ones."""
    return arms in (0b0101, 0b1010)


@dataclass
class Grid:
    """Nodes of the sheet from (x0, y0), row by row."""

    x0: int
    y0: int
    width: int
    height: int
    solid: bytearray = field(init=False)
    near: bytearray = field(init=False)
    across: list[int] = field(init=False)
    upright: list[int] = field(init=False)
    full: list[int] = field(init=False)
    kept: list[int] = field(init=False)
    looked: int = 0
    """Nodes that searches have looked at: the work done so far."""

    def __post_init__(self) -> None:
        size = self.width * self.height
        self.solid, self.near = bytearray(size), bytearray(size)
        self.across, self.upright = [-1] * size, [-1] * size
        self.full, self.kept = [-1] * size, [-1] * size
        for x in range(self.width):
            self.solid[x] = self.solid[size - 1 - x] = 1
        for y in range(self.height):
            self.solid[y * self.width] = self.solid[(y + 1) * self.width - 1] = 1

    def steps(self) -> tuple[int, int, int, int]:
        return -self.width, 1, self.width, -1

    def node(self, x: float, y: float) -> int:
        return (round(y) - self.y0) * self.width + round(x) - self.x0

    def place(self, node: int) -> tuple[int, int]:
        return node % self.width + self.x0, node // self.width + self.y0

    def block(self, box: Box) -> None:
        """Close all nodes in a box, its edge included."""
        for y in range(math.ceil(box[1] - 1e-6), math.floor(box[3] + 1e-6) + 1):
            for x in range(math.ceil(box[0] - 1e-6), math.floor(box[2] + 1e-6) + 1):
                self.solid[self.node(x, y)] = 1
        for y in range(math.ceil(box[1] - 1), math.floor(box[3] + 1) + 1):
            for x in range(math.ceil(box[0] - 1), math.floor(box[2] + 1) + 1):
                self.near[self.node(x, y)] = 1

    def lay(self, net: int, arms: Arms) -> None:
        """Enter a line into the grid."""
        for node, bits in arms.items():
            if bits == 0b0101:
                self.upright[node] = net
            elif bits == 0b1010:
                self.across[node] = net
            else:
                self.full[node] = net

    def lift(self, net: int, arms: Arms) -> None:
        """Take a line out of the grid."""
        for node in arms:
            for held in (self.upright, self.across, self.full):
                if held[node] == net:
                    held[node] = -1

    def owners(self, node: int) -> set[int]:
        """Name the lines at a node."""
        return {self.upright[node], self.across[node], self.full[node]} - {-1}


@dataclass(frozen=True)
class Search:
    """One question to the grid: from a port's exit to any node of the line already there."""

    net: int
    start: int
    heading: int
    tree: Arms
    level: int | None
    """y of the net's rail, if it is one."""
    other_levels: frozenset[int]
    push: bool = False


def find_way(grid: Grid, ask: Search, window: Box) -> tuple[list[int], int] | None:
    """Give the cheapest way as nodes, and its cost; None if there is none in the window."""
    width, steps, solid = grid.width, grid.steps(), grid.solid
    low_x, low_y = window[0] - grid.x0, window[1] - grid.y0
    high_x, high_y = window[2] - grid.x0, window[3] - grid.y0
    level = None if ask.level is None else ask.level - grid.y0
    others = {y - grid.y0 for y in ask.other_levels}
    target = _Target(ask.tree, width)
    first = ask.start * 4 + ask.heading
    best: dict[int, int] = {first: 0}
    came: dict[int, int] = {}
    heap = [(target.ahead(ask.start % width, ask.start // width, ask.heading), first)]
    done: set[int] = set()
    entered: dict[int, int] = {}
    while heap:
        _, state = heapq.heappop(heap)
        if state in done:
            continue
        done.add(state)
        node, heading = state >> 2, state & 3
        if node in ask.tree and state != first:
            grid.looked += len(done)
            return _trace(came, state), best[state]
        crossing = state != first and _crosses(grid, ask.net, node, heading)
        so_far = best[state] + STEP
        for turn in (heading,) if crossing else _TURNS[heading]:
            there = node + steps[turn]
            if solid[there]:
                continue
            following = there * 4 + turn
            if following in done:
                continue
            y, x = divmod(there, width)
            if not (low_x <= x <= high_x and low_y <= y <= high_y):
                continue
            cost = entered.get(following)
            if cost is None:
                cost = entered[following] = _entering(grid, ask, there, turn)
            if cost < 0:
                continue
            total = so_far + cost
            if turn != heading:
                total += BEND
            if turn & 1:
                if level is not None and y != level:
                    total += OFF_RAIL
                if y in others and y != level:
                    total += ON_OTHER_RAIL
            if total < best.get(following, _FAR):
                best[following] = total
                came[following] = state
                heapq.heappush(heap, (total + target.ahead(x, y, turn), following))
    grid.looked += len(done)
    return None


class _Target:
    """The box round the line that is to be reached."""

    def __init__(self, tree: Arms, width: int) -> None:
        xs, ys = [n % width for n in tree], [n // width for n in tree]
        self.x0, self.x1, self.y0, self.y1 = min(xs), max(xs), min(ys), max(ys)

    def ahead(self, x: int, y: int, heading: int) -> int:
        """Give what is left at least, never more than it costs: length and needed bends."""
        dx = self.x0 - x if x < self.x0 else self.x1 - x if x > self.x1 else 0
        dy = self.y0 - y if y < self.y0 else self.y1 - y if y > self.y1 else 0
        along, beside = (dx, dy) if heading & 1 else (dy, dx)
        against = along < 0 if heading in (EAST, SOUTH) else along > 0
        turns = 2 if against else 1 if beside else 0
        return STEP * (abs(dx) + abs(dy)) + BEND * turns


def _trace(came: dict[int, int], state: int) -> list[int]:
    nodes = [state // 4]
    while state in came:
        state = came[state]
        nodes.append(state // 4)
    return nodes[::-1]


def _crosses(grid: Grid, net: int, node: int, heading: int) -> bool:
    held = grid.upright if heading & 1 else grid.across
    return held[node] not in (-1, net)


def _entering(grid: Grid, ask: Search, node: int, heading: int) -> int:
    """Give the extra cost of entering a node in a direction, -1 if that is not allowed."""
    net, cost = ask.net, 0
    if grid.kept[node] not in (-1, net):
        return -1
    if heading & 1:
        along, crossed, side = grid.across, grid.upright, grid.width
    else:
        along, crossed, side = grid.upright, grid.across, 1
    if grid.full[node] not in (-1, net) or along[node] not in (-1, net):
        if not ask.push:
            return -1
        cost += PUSH_ASIDE
    if crossed[node] not in (-1, net):
        if node in ask.tree:
            return -1
        cost += CROSSING
    if node in ask.tree:
        cost += _joining(ask.tree[node], heading)
        if cost < 0:
            return -1
    if along[node - side] not in (-1, net):
        cost += BESIDE_LINE
    if along[node + side] not in (-1, net):
        cost += BESIDE_LINE
    if grid.near[node]:
        cost += BESIDE_FRAME
    return cost


def _joining(arms: int, heading: int) -> int:
    """Give the cost of ending in a node of the own line, hugely negative if it is a tee already."""
    count = arms.bit_count()
    back = 1 << ((heading + 2) % 4)
    if count >= 3 or arms & back:
        return -(1 << 30)
    if count == 1:
        return 0 if is_straight(arms | back) else BEND
    return JOIN


def box_of(grid: Grid, nodes: Iterable[int], margin: int) -> Box:
    """Give the box round nodes, widened by a margin [M]."""
    places = [grid.place(n) for n in nodes]
    xs, ys = [p[0] for p in places], [p[1] for p in places]
    return min(xs) - margin, min(ys) - margin, max(xs) + margin, max(ys) + margin
