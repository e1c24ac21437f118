"""The module grid of a sheet: what stands where, and what it costs a line to pass there.

Lines run on whole modules. A node holds at most one line in each direction; two lines may
cross straight, nothing else. Costs in tenths of a module of length.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from circuitcheck.basics.shapes import Box
from circuitcheck.symbols import Side

STEP, BEND, CROSSING = 10, 120, 500
BESIDE_LINE, BESIDE_FRAME, OFF_RAIL, ON_OTHER_RAIL, JOIN = 8, 4, 10, 12, 15
OFF_GALLERY = 40
PUSH_ASIDE = 600
"""Cost of running over another line when that line will be routed again."""
CLOSED = 1 << 24
"""More than any way costs: what may not be entered."""

NORTH, EAST, SOUTH, WEST = range(4)
DIRECTION: Mapping[Side, int] = {"N": NORTH, "E": EAST, "S": SOUTH, "W": WEST}
Arms = dict[int, int]
"""Node -> bits of the directions in which a line leaves it."""
Reached = tuple[int, int, int, int]
"""First and last column and row of a part of the grid: x0, y0, x1, y1."""
Costs = NDArray[np.int64]
"""Cost at every node of a window, shape (rows, columns)."""


def is_straight(arms: int) -> bool:
    """Tell whether the directions of a node are just two opposite ones."""
    return arms in (0b0101, 0b1010)


@dataclass
class Grid:
    """Nodes of the sheet from (x0, y0), row by row; the arrays have shape (height * width,).

    ``across``, ``upright`` and ``full`` hold the number of the line at a node, -1 for none:
    one that passes from left to right, up and down, or that turns or ends there.
    """

    x0: int
    y0: int
    width: int
    height: int
    solid: NDArray[np.bool_] = field(init=False)
    near: NDArray[np.bool_] = field(init=False)
    across: NDArray[np.int32] = field(init=False)
    upright: NDArray[np.int32] = field(init=False)
    full: NDArray[np.int32] = field(init=False)
    kept: NDArray[np.int32] = field(init=False)
    looked: int = 0
    """The work that searches have done so far."""

    def __post_init__(self) -> None:
        size = self.width * self.height
        self.solid, self.near = np.zeros(size, bool), np.zeros(size, bool)
        self.across, self.upright, self.full, self.kept = np.full((4, size), -1, np.int32)
        edge = self.whole(self.solid)
        edge[0], edge[-1], edge[:, 0], edge[:, -1] = True, True, True, True

    def whole(self, of: NDArray[Any]) -> NDArray[Any]:
        """Give one of the arrays in rows and columns."""
        return of.reshape(self.height, self.width)

    def steps(self) -> tuple[int, int, int, int]:
        return -self.width, 1, self.width, -1

    def node(self, x: float, y: float) -> int:
        return (round(y) - self.y0) * self.width + round(x) - self.x0

    def place(self, node: int) -> tuple[int, int]:
        return node % self.width + self.x0, node // self.width + self.y0

    def block(self, box: Box) -> None:
        """Close all nodes in a box, its edge included."""
        for of, by in ((self.solid, 1e-6), (self.near, 1.0)):
            x0, y0 = math.ceil(box[0] - by) - self.x0, math.ceil(box[1] - by) - self.y0
            x1, y1 = math.floor(box[2] + by) - self.x0, math.floor(box[3] + by) - self.y0
            self.whole(of)[y0 : y1 + 1, x0 : x1 + 1] = True

    def keep(self, node: int, net: int) -> None:
        """Let no other line come to a node."""
        self.kept[node] = net

    def lay(self, net: int, arms: Arms) -> None:
        """Enter a line into the grid."""
        nodes, bits = _listed(arms)
        level, up = bits == 0b1010, bits == 0b0101
        self.across[nodes[level]] = net
        self.upright[nodes[up]] = net
        self.full[nodes[~(level | up)]] = net

    def lift(self, net: int, arms: Arms) -> None:
        """Take a line out of the grid."""
        nodes, _ = _listed(arms)
        for held in (self.upright, self.across, self.full):
            held[nodes[held[nodes] == net]] = -1

    def owners(self, node: int) -> set[int]:
        """Name the lines at a node."""
        return {int(of[node]) for of in (self.upright, self.across, self.full)} - {-1}

    def entering(self, net: int, window: Reached, *, push: bool) -> tuple[Costs, Costs]:
        """Give what a line pays to enter each node from a side, and from above or below.

        CLOSED where it may not; ``push`` lets it run over other lines at a price. Crossings
        are paid in both; what the level of a rail costs is not in it.
        """
        x0, y0, x1, y1 = window
        rows, columns = slice(y0, y1 + 1), slice(x0, x1 + 1)
        kept = self.whole(self.kept)[rows, columns]
        full = self.whole(self.full)[rows, columns]
        closed = self.whole(self.solid)[rows, columns] | ((kept != -1) & (kept != net))
        taken = (full != -1) & (full != net)
        beside = STEP + BESIDE_FRAME * self.whole(self.near)[rows, columns].astype(np.int64)
        wide = slice(y0 - 1, y1 + 2), slice(x0 - 1, x1 + 2)
        level, up = self.whole(self.across)[wide], self.whole(self.upright)[wide]
        level, up = (level != -1) & (level != net), (up != -1) & (up != net)
        crossed_level, crossed_up = level[1:-1, 1:-1], up[1:-1, 1:-1]
        found = []
        for along, crossed, sides in (
            (crossed_level, crossed_up, (level[:-2, 1:-1], level[2:, 1:-1])),
            (crossed_up, crossed_level, (up[1:-1, :-2], up[1:-1, 2:])),
        ):
            cost = beside + CROSSING * crossed
            cost += BESIDE_LINE * sides[0]
            cost += BESIDE_LINE * sides[1]
            cost += (PUSH_ASIDE if push else CLOSED) * (along | taken)
            cost[closed] = CLOSED
            found.append(cost)
        return found[0], found[1]

    def crossed(self, net: int, window: Reached) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
        """Tell where a line from a side, and one from above or below, crosses another one."""
        x0, y0, x1, y1 = window
        part = slice(y0, y1 + 1), slice(x0, x1 + 1)
        up, level = self.whole(self.upright)[part], self.whole(self.across)[part]
        return (up != -1) & (up != net), (level != -1) & (level != net)


def _listed(arms: Arms) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    count = len(arms)
    return np.fromiter(arms, np.int64, count), np.fromiter(arms.values(), np.int64, count)
