"""Makes room beside a line of a sheet that stands: all on one side of a seam moves by one step.

A seam runs from one edge of the sheet to the other between the symbols. Lines that run across
it get longer, none is cut lengthwise: nothing turns, nothing changes its order, no line bends.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from circuitcheck.basics.shapes import Box, Point
from circuitcheck.schematic.bodies import Body, union
from circuitcheck.schematic.placing import Layout, Line, moved_body

_ASIDE, _ACROSS = 0.2, 1.0
"""What a seam pays for each module aside and for each line that gets longer (own choice)."""
_BARRED = 1e6
_EDGE = 3  # cells round the sheet
_STRETCHES = 8  # of the net, beside which seams are tried, the longest first
_AIR = 4.0  # room beyond the size of what is to stand there [M]


@dataclass(frozen=True)
class _Seam:
    """A cut through the sheet: what lies beyond ``cut`` moves along an axis (0: x, 1: y)."""

    axis: int
    cost: float
    first: int
    cut: tuple[float, ...]
    """Where it lies, for each whole coordinate along it from ``first``."""

    def beyond(self, point: Point) -> bool:
        along = round(point[1 - self.axis]) - self.first
        return point[self.axis] > self.cut[min(max(along, 0), len(self.cut) - 1)]


def opened(layout: Layout, net: str, sizes: Iterable[tuple[float, float]]) -> Layout | None:
    """Make room for something of one of these sizes beside a line; None if nothing gives way."""
    line = next((line for line in layout.lines if line.net.id == net), None)
    if line is None:
        return None
    sizes = list(sizes)
    steps = [math.ceil(min(size[axis] for size in sizes) + _AIR) for axis in (0, 1)]
    terrain = [_Terrain(layout, axis) for axis in (0, 1)]
    best: tuple[float, int, _Seam] | None = None
    for (ax, ay), (bx, by) in _longest(line):
        axis = 0 if ax == bx else 1
        along, at = ((ay + by) / 2, ax) if axis == 0 else ((ax + bx) / 2, ay)
        for place in (at - 1, at):
            seam = terrain[axis].seam(math.floor(along), round(place))
            if seam is None:
                continue
            cost = steps[axis] * (2.0 + seam.cost)
            if best is None or cost < best[0]:
                best = (cost, steps[axis], seam)
    return None if best is None else _parted(layout, best[2], best[1])


def _longest(line: Line) -> list[tuple[Point, Point]]:
    pairs = [pair for way in line.ways for pair in pairwise(way)]
    pairs = [(a, b) for a, b in pairs if math.dist(a, b) >= 2]
    pairs.sort(key=lambda p: (-math.dist(*p), p))
    return pairs[:_STRETCHES]


class _Terrain:
    """The sheet in cells of one module, seen so that seams run from row to row."""

    def __init__(self, layout: Layout, axis: int) -> None:
        x0, y0, x1, y1 = self._turned(layout.extent(), axis)
        self.axis, self.x0, self.y0 = axis, math.floor(x0) - _EDGE, math.floor(y0) - _EDGE
        shape = (math.ceil(y1) + _EDGE - self.y0, math.ceil(x1) + _EDGE - self.x0)
        self.full = np.zeros(shape, bool)
        self.walls = np.zeros(shape, bool)
        """Whether a line runs from row to row on the left side of a cell."""
        self.crossed = np.zeros(shape)
        """How many lines run over the upper side of a cell."""
        for body in layout.bodies.values():
            for box in _hulls(body):
                self._fill(self._turned(box, axis))
        ways = [way for line in layout.lines for way in line.ways]
        ways += [(a, b) for _, a, b in layout.shafts]
        for a, b in (pair for way in ways for pair in pairwise(way)):
            box = (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
            self._draw(self._turned(box, axis))

    @staticmethod
    def _turned(box: Box, axis: int) -> Box:
        return box if axis == 0 else (box[1], box[0], box[3], box[2])

    def _fill(self, box: Box) -> None:
        x0, y0 = math.floor(box[0]) - self.x0, math.floor(box[1]) - self.y0
        x1, y1 = math.ceil(box[2]) - self.x0, math.ceil(box[3]) - self.y0
        self.full[y0:y1, x0:x1] = True

    def _draw(self, box: Box) -> None:
        x0, y0, x1, y1 = box
        if x0 == x1:
            rows = slice(math.floor(y0) - self.y0, math.ceil(y1) - self.y0)
            self.walls[rows, math.ceil(x0) - self.x0] = True
        else:
            columns = slice(math.floor(x0) - self.x0, math.ceil(x1) - self.x0)
            self.crossed[round(y0) - self.y0, columns] += 1

    def seam(self, row: int, column: int) -> _Seam | None:
        """Give the cheapest seam through a cell."""
        row, column = row - self.y0, column - self.x0
        down = self._run(row, column, list(range(row, self.full.shape[0])))
        up = self._run(row, column, list(range(row, -1, -1)))
        if down is None or up is None:
            return None
        # places where it runs from row to row, from the top
        cut = [*reversed(up[1]), *down[1]]
        first = self.y0
        return _Seam(
            self.axis, up[0] + down[0], first, tuple(self.x0 + place + 0.5 for place in cut)
        )

    def _run(self, row: int, column: int, rows: list[int]) -> tuple[float, list[int]] | None:
        """Lead a seam from a cell through the rows; give its cost and where it leaves each row."""
        size = self.full.shape[1]
        places = np.arange(size)
        aside = _ASIDE * np.abs(places[:, None] - places[None, :])
        came = np.full(size, _BARRED)
        came[column] = 0.0
        sources: list[NDArray[np.int64]] = []
        for number, here in enumerate(rows):
            if number:
                upper = here if here > row else here + 1
                came = came + _ACROSS * self.crossed[upper]
            came = np.where(self.full[here], _BARRED, came)
            rooms = np.cumsum(self.walls[here] | self.full[here] | np.roll(self.full[here], 1))
            paid = came[None, :] + aside + _BARRED * (rooms[:, None] != rooms[None, :])
            sources.append(paid.argmin(axis=1))
            came = np.where(self.full[here], _BARRED, paid.min(axis=1))
        end = int(came.argmin())
        if came[end] >= _BARRED:
            return None
        cost, leaving = float(came[end]), [end]
        for source in reversed(sources):
            leaving.append(int(source[leaving[-1]]))
        # leaving[k] is where it leaves the row, for the rows from the last one back to the first
        return cost, leaving[:-1][::-1]


def _hulls(body: Body) -> Iterable[Box]:
    """Give boxes that hold a symbol together with each of its marks and its label."""
    frame, *others = body.boxes()
    yield frame
    for box in others:
        yield union([frame, box])


def _parted(layout: Layout, seam: _Seam, step: int) -> Layout:
    """Move all that lies on one side of a seam, that with fewer parts."""
    beyond = sum(seam.beyond(body.middle()) for body in layout.bodies.values())
    far = 2 * beyond <= len(layout.bodies)
    step = step if far else -step
    by = (step, 0) if seam.axis == 0 else (0, step)

    def at(point: Point) -> Point:
        return (point[0] + by[0], point[1] + by[1]) if seam.beyond(point) == far else point

    bodies = {
        i: moved_body(body, *by) if seam.beyond(body.middle()) == far else body
        for i, body in layout.bodies.items()
    }
    lines = [
        Line(
            line.net,
            [tuple(at(point) for point in way) for way in line.ways],
            [at(joint) for joint in line.joints],
            [(pin, bodies[pin[0]].anchor(pin[1])) for pin, _ in line.pins],
        )
        for line in layout.lines
    ]
    shafts = [(net, at(a), at(b)) for net, a, b in layout.shafts]
    return replace(layout, bodies=bodies, lines=lines, shafts=shafts)
