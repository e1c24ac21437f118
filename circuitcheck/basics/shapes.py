"""Drawing primitives in modules M: what a symbol or a sheet is made of.

x runs to the right, y runs down. Angles are degrees, clockwise on the sheet from +x.
One module is 2.5 mm at full size; every line is 0.1 M wide (ISO 1219-1 clause 8.1, from
memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""x0, y0, x1, y1 with x0 <= x1 and y0 <= y1 [M]."""

Style = Literal["solid", "dashed", "dash-dot"]
Heads = Literal["none", "end", "both"]

LINE_WIDTH = 0.1
"""Width of every line [M]."""
ARROW_LENGTH = 1.0
ARROW_HALF_WIDTH = math.tan(math.radians(15.0))
"""A filled head 1 M long with 30 degrees between its sides (from memory of ISO 1219-1)."""


@dataclass(frozen=True)
class Pose:
    """Where and how a thing is put: mirrored left-right first, then turned, then shifted.

    ``quarters`` counts quarter turns, clockwise on the sheet.
    """

    x: float = 0.0
    y: float = 0.0
    quarters: int = 0
    mirrored: bool = False

    def point(self, at: Point) -> Point:
        dx, dy = self.direction(at)
        return dx + self.x, dy + self.y

    def direction(self, along: Point) -> Point:
        x, y = along
        if self.mirrored:
            x = -x
        for _ in range(self.quarters % 4):
            x, y = -y, x
        return x + 0.0, y + 0.0

    def angle(self, degrees: float) -> float:
        return (180.0 - degrees if self.mirrored else degrees) + 90.0 * self.quarters

    def box(self, box: Box) -> Box:
        (ax, ay), (bx, by) = self.point(box[:2]), self.point(box[2:])
        return min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)


@dataclass(frozen=True)
class Line:
    """An open polyline, with arrowheads at its end or at both ends."""

    points: tuple[Point, ...]
    style: Style = "solid"
    heads: Heads = "none"

    def posed(self, pose: Pose) -> Line:
        return replace(self, points=tuple(pose.point(p) for p in self.points))

    def bounds(self) -> Box:
        return bounds_of_points(self.points)


@dataclass(frozen=True)
class Polygon:
    """A closed outline; ``filled`` blackens it, ``style`` is that of its outline."""

    points: tuple[Point, ...]
    filled: bool = False
    style: Style = "solid"

    def posed(self, pose: Pose) -> Polygon:
        return replace(self, points=tuple(pose.point(p) for p in self.points))

    def bounds(self) -> Box:
        return bounds_of_points(self.points)


@dataclass(frozen=True)
class Circle:
    """A circle, outlined or filled."""

    centre: Point
    radius: float
    filled: bool = False

    def posed(self, pose: Pose) -> Circle:
        return replace(self, centre=pose.point(self.centre))

    def bounds(self) -> Box:
        (x, y), r = self.centre, self.radius
        return x - r, y - r, x + r, y + r


@dataclass(frozen=True)
class Arc:
    """Part of a circle from angle ``start`` to ``end`` (clockwise when end > start) [deg]."""

    centre: Point
    radius: float
    start: float
    end: float
    headed: bool = False

    def posed(self, pose: Pose) -> Arc:
        return replace(
            self,
            centre=pose.point(self.centre),
            start=pose.angle(self.start),
            end=pose.angle(self.end),
        )

    def at(self, degrees: float) -> Point:
        turn = math.radians(degrees)
        return (
            self.centre[0] + self.radius * math.cos(turn),
            self.centre[1] + self.radius * math.sin(turn),
        )

    def bounds(self) -> Box:
        low, high = sorted((self.start, self.end))
        quarters = [90.0 * k for k in range(math.ceil(low / 90), math.floor(high / 90) + 1)]
        return bounds_of_points(tuple(self.at(a) for a in (low, high, *quarters)))


@dataclass(frozen=True)
class Text:
    """A word or line of text, always upright; ``at`` is the middle of its height.

    ``anchor`` says which part of the text stands at ``at``; ``size`` is the font size [M].
    """

    at: Point
    content: str
    size: float = 1.4
    anchor: Literal["start", "middle", "end"] = "middle"
    bold: bool = False

    def posed(self, pose: Pose) -> Text:
        reach = pose.direction((1.0, 0.0))[0]
        anchor = self.anchor
        if reach < 0 and anchor != "middle":
            anchor = "end" if anchor == "start" else "start"
        elif reach == 0:
            anchor = "middle"
        return replace(self, at=pose.point(self.at), anchor=anchor)

    def bounds(self) -> Box:
        """Give the point of the text only: its width needs a font (schematic/fonts.py)."""
        return (*self.at, *self.at)


Shape = Line | Polygon | Circle | Arc | Text


def bounds_of_points(points: Iterable[Point]) -> Box:
    """Give the box round points; ValueError if there are none."""
    listed = list(points)
    xs, ys = [p[0] for p in listed], [p[1] for p in listed]
    return min(xs), min(ys), max(xs), max(ys)


def bounds_of(shapes: Iterable[Shape]) -> Box:
    """Give the box round shapes (texts count with their point); ValueError if there are none."""
    corners = [shape.bounds() for shape in shapes]
    return bounds_of_points([b[:2] for b in corners] + [b[2:] for b in corners])


def rectangle(x: float, y: float, width: float, height: float, style: Style = "solid") -> Polygon:
    """Give a rectangle from its upper left corner [M]."""
    corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
    return Polygon(corners, style=style)
