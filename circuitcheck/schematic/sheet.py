"""Puts a finished layout on a sheet: groups of shapes, margin, title block, legend."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from circuitcheck.basics.shapes import Box, Circle, Line, Point, Shape
from circuitcheck.schematic.bodies import Body, union
from circuitcheck.schematic.enclosures import Outline
from circuitcheck.schematic.painting import legend, painted_lead, painted_line, painted_mark, tints
from circuitcheck.schematic.placing import Layout
from circuitcheck.schematic.placing import Line as DrawnLine
from circuitcheck.schematic.seen import Seen
from circuitcheck.schematic.svg import Group, Painted
from circuitcheck.schematic.tables import Table, drawn_table
from circuitcheck.schematic.title_block import Titles, block_size, title_block
from circuitcheck.schematic.values import Note

_JOINT = 0.375  # radius of a joint's dot [M]
_SHAFT = 0.25  # half the distance of the two lines of a shaft [M]
_MARGIN = 4.0


_GAP = 2.0  # between drawing, tables, legend and title block [M]


def compose(
    layout: Layout,
    notes: list[Note],
    titles: Titles | None,
    outlines: tuple[Outline, ...] = (),
    seen: Seen | None = None,
    tables: tuple[Table, ...] = (),
) -> tuple[list[Group], Box]:
    """Give all groups of the sheet in drawing order, and the sheet's box [M].

    Without ``titles`` the title block is left out.
    """
    groups: list[Group] = []
    stretches = _stretches(layout) if seen is not None else []
    texts = [note.box for note in notes]
    texts += [body.label_box for body in layout.bodies.values() if body.label_box is not None]
    if seen is not None:
        groups.append(tints(layout, seen))
    for line in layout.lines:
        drawn: tuple[Shape | Painted, ...] = _line(line)
        if seen is not None and line.net.kind != "shaft":
            drawn = painted_line(line, seen, stretches, texts)
        groups.append(Group(f"net-{line.net.id}", drawn, line.net.label, about=_about(line)))
    for net, a, b in layout.shafts:
        groups.append(Group(f"net-{net.id}", _shaft(a, b)))
    for body in layout.bodies.values():
        inside = list(_symbol(body, seen))
        for mark in body.marks:
            if seen is not None:
                pin = (body.id, mark.port)
                inside += painted_mark(mark.line, pin, mark.dashed, seen, stretches, texts)
            else:
                inside.append(Line(mark.line, "dashed" if mark.dashed else "solid"))
            inside += mark.symbol.shapes
        inside += body.label
        note = ", ".join((body.id, *body.item.lines))
        groups.append(Group(f"part-{body.id}", tuple(inside), note, body.item.link, body.item.kind))
    if notes:
        groups.append(Group("values", tuple(s for note in notes for s in note.shapes)))
    groups += [Group(f"block-{outline.id}", outline.shapes) for outline in outlines]
    boxes = [layout.extent(), *(note.box for note in notes)]
    boxes += [box for outline in outlines for box in outline.boxes]
    under, box = _under(union(boxes), titles, seen, tables)
    x0, y0, x1, y1 = box
    return groups + under, (x0 - _MARGIN, y0 - _MARGIN, x1 + _MARGIN, y1 + _MARGIN)


def _under(
    drawing: Box, titles: Titles | None, seen: Seen | None, tables: tuple[Table, ...]
) -> tuple[list[Group], Box]:
    """Put tables and legend below the drawing from the left, the title block at the right."""
    groups: list[Group] = []
    x0, y0, x1, y1 = drawing
    x, top, lowest = x0, y1 + _GAP, y1
    for table in tables:
        shapes, (_, _, right, bottom) = drawn_table(table, x, top)
        groups.append(Group(f"table-{table.id}", shapes))
        lowest, x = max(lowest, bottom), right + _GAP
    told: Box | None = None
    if seen is not None:
        group, told = legend(seen, x, top)
        groups.append(group)
        lowest = max(lowest, told[3])
    if titles is None:
        return groups, (x0, y0, max(x1, told[2] if told else x - _GAP), lowest)
    right, upper = _corner(block_size(titles), x, top, told, x1, lowest)
    block, (bx0, _, bx1, by1) = title_block(titles, right, upper)
    groups.append(Group("title-block", block))
    return groups, (min(x0, bx0), y0, max(x1, bx1), max(lowest, by1))


def _corner(
    size: tuple[float, float], x: float, top: float, told: Box | None, right: float, lowest: float
) -> Point:
    """Give the upper right corner of the title block: beside the legend, or below it.

    It is put where the sheet stays smaller. ``x`` is where the tables end, ``right`` where
    the drawing does, ``lowest`` where tables and legend do.
    """
    wide, high = size
    if told is None:
        return max(right, x + wide), max(top, lowest - high)
    beside = (max(right, told[2] + _GAP + wide), max(top, lowest - high))
    below = (max(right, told[2], x + wide), max(told[3] + _GAP, lowest - high))

    def area(corner: Point) -> float:
        return (corner[0] - x) * (max(lowest, corner[1] + high) - top)

    return min((beside, below), key=area)


def _symbol(body: Body, seen: Seen | None) -> Iterable[Shape | Painted]:
    """Give the shapes of a symbol, in a step its leads in the colours of their lines."""
    for shape in body.symbol.shapes:
        ports = body.symbol.led_to(shape) if seen is not None else frozenset()
        if seen is not None and isinstance(shape, Line) and len(ports) == 1:
            pin = (body.id, next(iter(ports)))
            yield painted_lead(shape, pin, seen) if pin in seen.pressure else shape
        else:
            yield shape


def _stretches(layout: Layout) -> list[Box]:
    """List every straight part of all lines, as boxes without width."""
    ways = [way for line in layout.lines for way in line.ways]
    ways += [mark.line for body in layout.bodies.values() for mark in body.marks]
    return [
        (min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))
        for way in ways
        for (ax, ay), (bx, by) in pairwise(way)
    ]


def _about(line: DrawnLine) -> str:
    """Say what a line is and what it joins."""
    ends = ", ".join(f"{item} {port}" for (item, port), _ in line.pins)
    return f"{line.net.kind.replace('_', ' ')} line: {ends}"


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
