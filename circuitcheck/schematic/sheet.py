"""Puts a finished layout on a sheet: groups of shapes, margin, title block, legend."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from circuitcheck.basics.shapes import (
    Box,
    Circle,
    Line,
    Point,
    Polygon,
    Shape,
    Text,
)
from circuitcheck.schematic.bodies import union
from circuitcheck.schematic.enclosures import Outline
from circuitcheck.schematic.fonts import text_width
from circuitcheck.schematic.placing import Layout
from circuitcheck.schematic.placing import Line as DrawnLine
from circuitcheck.schematic.svg import Group
from circuitcheck.schematic.values import Note

_JOINT = 0.375  # radius of a joint's dot [M]
_SHAFT = 0.25  # half the distance of the two lines of a shaft [M]
_MARGIN = 4.0
_ROW = 2.4


@dataclass(frozen=True)
class Titles:
    """What stands in the title block: rows of text, the first one in bold."""

    title: str
    rows: tuple[str, ...] = ()


def compose(
    layout: Layout, notes: list[Note], titles: Titles, outlines: tuple[Outline, ...] = ()
) -> tuple[list[Group], Box]:
    """Give all groups of the sheet in drawing order, and the sheet's box [M]."""
    groups: list[Group] = []
    for line in layout.lines:
        groups.append(Group(f"net-{line.net.id}", _line(line), line.net.label))
    for net, a, b in layout.shafts:
        groups.append(Group(f"net-{net.id}", _shaft(a, b)))
    for body in layout.bodies.values():
        inside: list[Shape] = [*body.symbol.shapes]
        for mark in body.marks:
            inside.append(Line(mark.line, "dashed" if mark.dashed else "solid"))
            inside += mark.symbol.shapes
        inside += body.label
        groups.append(
            Group(f"part-{body.id}", tuple(inside), ", ".join((body.id, *body.item.lines)))
        )
    if notes:
        groups.append(Group("values", tuple(s for note in notes for s in note.shapes)))
    groups += [Group(f"block-{outline.id}", outline.shapes) for outline in outlines]
    boxes = [layout.extent(), *(note.box for note in notes)]
    boxes += [box for outline in outlines for box in (outline.box, outline.label_box)]
    x0, y0, x1, y1 = union(boxes)
    block, (bx0, _, bx1, by1) = _title_block(titles, x1, y1 + 2.0)
    x0 = min(x0, bx0)
    groups.append(Group("title-block", block))
    sheet = (x0 - _MARGIN, y0 - _MARGIN, bx1 + _MARGIN, by1 + _MARGIN)
    return groups, sheet


def _line(line: DrawnLine) -> tuple[Shape, ...]:
    if line.net.kind == "shaft":
        return tuple(Line(side) for way in line.ways for side in _both_sides(way))
    shapes: list[Shape] = [
        Line(way, "dashed" if line.dashed or line.ends_in_pilot(way) else "solid")
        for way in line.ways
    ]
    return (*shapes, *(Circle(point, _JOINT, filled=True) for point in line.joints))


def _both_sides(way: tuple[Point, ...]) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """Give the two parallels of a shaft that turns corners (a gear or chain in reality)."""
    steps = [((bx > ax) - (bx < ax), (by > ay) - (by < ay)) for (ax, ay), (bx, by) in pairwise(way)]
    sides: tuple[list[Point], list[Point]] = ([], [])
    for place, (x, y) in enumerate(way):
        around = {steps[max(place - 1, 0)], steps[min(place, len(steps) - 1)]}
        dx, dy = sum(-s[1] for s in around), sum(s[0] for s in around)
        sides[0].append((x + _SHAFT * dx, y + _SHAFT * dy))
        sides[1].append((x - _SHAFT * dx, y - _SHAFT * dy))
    return tuple(sides[0]), tuple(sides[1])


def _shaft(a: Point, b: Point) -> tuple[Shape, ...]:
    """Draw a shaft as two lines with a coupling in its middle, if there is room."""
    (ax, ay), (bx, by) = a, b
    if ax == bx:
        return (
            Line(((ax - _SHAFT, ay), (bx - _SHAFT, by))),
            Line(((ax + _SHAFT, ay), (bx + _SHAFT, by))),
        )
    middle = (ax + bx) / 2
    return (
        Line(((ax, ay - _SHAFT), (bx, by - _SHAFT))),
        Line(((ax, ay + _SHAFT), (bx, by + _SHAFT))),
        Line(((middle - _SHAFT, ay - 1), (middle - _SHAFT, ay + 1))),
        Line(((middle + _SHAFT, ay - 1), (middle + _SHAFT, ay + 1))),
    )


def _title_block(titles: Titles, right: float, top: float) -> tuple[tuple[Shape, ...], Box]:
    """Draw the title block with its upper right corner at ``right``, ``top``."""
    rows = [(titles.title, 1.8, True), *((row, 1.4, False) for row in titles.rows)]
    width = max(text_width(text, size, bold=bold) for text, size, bold in rows) + 2.0
    left = right - width
    shapes: list[Shape] = []
    y = top
    for text, size, bold in rows:
        high = _ROW * size / 1.4
        shapes.append(Text((left + 1.0, y + high / 2), text, size, "start", bold))
        y += high
        shapes.append(Line(((left, y), (right, y))))
    shapes = shapes[:-1]
    shapes.append(Polygon(((left, top), (right, top), (right, y), (left, y))))
    return tuple(shapes), (left, top, right, y)
