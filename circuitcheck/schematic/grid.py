"""The module grid of a sheet: what stands where, and the cheapest way across it.

Lines run on whole modules. A node holds at most one line in each direction; two lines may
cross straight, nothing else. A* search; costs in tenths of a module of length.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from circuitcheck.basics.shapes import Box
from circuitcheck.symbols import Side

STEP, BEND, CROSSING = 10, 120, 500
BESIDE_LINE, BESIDE_FRAME, OFF_RAIL, ON_OTHER_RAIL, JOIN = 8, 4, 10, 12, 15
OFF_GALLERY = 40
PUSH_ASIDE = 600
"""Cost of running over another line when that line will be routed again."""

NORTH, EAST, SOUTH, WEST = range(4)
DIRECTION: Mapping[Side, int] = {"N": NORTH, "E": EAST, "S": SOUTH, "W": WEST}
_TURNS = tuple((way, (way + 1) % 4, (way + 3) % 4) for way in range(4))
_FAR = 1 << 60
Arms = dict[int, int]
"""Node -> bits of the directions in which a line leaves it."""
Reached = tuple[int, int, int, int]
"""First and last column and row of a part of the grid: x0, y0, x1, y1."""


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
    busy: bytearray = field(init=False)
    """How many reasons there are at a node to ask what entering it costs."""
    looked: int = 0
    """Nodes that searches have looked at: the work done so far."""

    def __post_init__(self) -> None:
        size = self.width * self.height
        self.solid, self.near = bytearray(size), bytearray(size)
        self.busy = bytearray(size)
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
                self.near[self.node(x, y)] = self.busy[self.node(x, y)] = 1

    def keep(self, node: int, net: int) -> None:
        """Let no other line come to a node."""
        self.kept[node] = net
        self.busy[node] = 1

    def lay(self, net: int, arms: Arms) -> None:
        """Enter a line into the grid."""
        for node, bits in arms.items():
            if bits == 0b0101:
                self.upright[node] = net
            elif bits == 0b1010:
                self.across[node] = net
            else:
                self.full[node] = net
            for there in (node, node - 1, node + 1, node - self.width, node + self.width):
                self.busy[there] += 2

    def lift(self, net: int, arms: Arms) -> None:
        """Take a line out of the grid."""
        for node in arms:
            for held in (self.upright, self.across, self.full):
                if held[node] == net:
                    held[node] = -1
            for there in (node, node - 1, node + 1, node - self.width, node + self.width):
                self.busy[there] -= 2

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
    width, steps, solid, busy = grid.width, grid.steps(), grid.solid, grid.busy
    low_x, low_y, high_x, high_y = window
    across, tree = _costs_of_rows(grid, ask), ask.tree
    first = ask.start * 4 + ask.heading
    best: dict[int, int] = {first: 0}
    came: dict[int, int] = {}
    heap = [(0, first)]
    done: set[int] = set()
    entered: dict[int, int] = {}
    while heap:
        _, state = heapq.heappop(heap)
        if state in done:
            continue
        done.add(state)
        node, heading = state >> 2, state & 3
        if node in tree and state != first:
            grid.looked += len(done)
            return _trace(came, state), best[state]
        crossing = busy[node] and state != first and _crosses(grid, ask.net, node, heading)
        so_far = best[state] + STEP
        for turn in (heading,) if crossing else _TURNS[heading]:
            there = node + steps[turn]
            following = there * 4 + turn
            if solid[there] or following in done:
                continue
            y, x = divmod(there, width)
            if not (low_x <= x <= high_x and low_y <= y <= high_y):
                continue
            total = so_far
            if busy[there] or there in tree:
                cost = entered.get(following)
                if cost is None:
                    cost = entered[following] = _entering(grid, ask, there, turn)
                if cost < 0:
                    continue
                total += cost
            if turn != heading:
                total += BEND
            if turn & 1:
                total += across[y]
            if total < best.get(following, _FAR):
                best[following] = total
                came[following] = state
                heapq.heappush(heap, (total + ahead(x, y, turn, ask.reach), following))
    grid.looked += len(done)
    return None


def ahead(x: int, y: int, heading: int, reach: Reached) -> int:
    """Give what is left to a line at least, never more than it costs: length and needed bends."""
    x0, y0, x1, y1 = reach
    dx = x0 - x if x < x0 else x1 - x if x > x1 else 0
    dy = y0 - y if y < y0 else y1 - y if y > y1 else 0
    along, beside = (dx, dy) if heading & 1 else (dy, dx)
    against = along < 0 if heading in (EAST, SOUTH) else along > 0
    turns = 2 if against else 1 if beside else 0
    return STEP * (abs(dx) + abs(dy)) + BEND * turns


def _costs_of_rows(grid: Grid, ask: Search) -> list[int]:
    """Give what each module along the sheet costs more, by row of the grid."""
    costs = [0 if ask.level is None else ask.off_level] * grid.height
    for y in ask.other_levels:
        costs[y - grid.y0] += ON_OTHER_RAIL
    if ask.level is not None:
        costs[ask.level - grid.y0] = 0
    return costs


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
    later = ask.pending.get(node, 0)
    if node in ask.tree:
        cost += _joining(ask.tree[node] | later, heading)
        if cost < 0:
            return -1
    elif later.bit_count() > 1:
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
