"""Moves labels a little, so that a line which passes near leaves air beside their text."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from circuitcheck.basics.shapes import Box, Pose
from circuitcheck.schematic.bodies import Body
from circuitcheck.schematic.placing import Layout

_AIR = 0.6
"""Distance from lines and symbols at which a label is left alone [M] (own choice)."""
_STEPS = (0.0, -0.1, 0.1, -0.2, 0.2, -0.3, 0.3, -0.4, 0.4)
"""Shifts that are tried along each direction [M]."""
_WORTH = 0.05  # gain for which a label is moved at all [M]


def with_air(layout: Layout) -> Layout:
    """Give the layout with the labels shifted by less than half a module where that helps."""
    lines = [line for drawn in layout.lines for line in drawn.ways]
    lines += [mark.line for body in layout.bodies.values() for mark in body.marks]
    lines += [(a, b) for _, a, b in layout.shafts]
    boxes = [_box(*a, *b) for way in lines for a, b in pairwise(way)]
    boxes += [body.symbol.frame for body in layout.bodies.values()]
    boxes += [m.symbol.frame for body in layout.bodies.values() for m in body.marks]
    bodies = dict(layout.bodies)
    for name, body in layout.bodies.items():
        if body.label_box is not None:
            labels = [b.label_box for n, b in bodies.items() if n != name and b.label_box]
            bodies[name] = _shifted(body, body.label_box, [*boxes, *labels])
    return replace(layout, bodies=bodies)


def _shifted(body: Body, label: Box, others: list[Box]) -> Body:
    reach = (label[0] - 1.1, label[1] - 1.1, label[2] + 1.1, label[3] + 1.1)
    near = [box for box in others if _apart(reach, box) <= 0.0]
    best, air = (0.0, 0.0), _air(label, near)
    for dx in _STEPS:
        for dy in _STEPS if dx == 0.0 else (0.0,):
            moved = (label[0] + dx, label[1] + dy, label[2] + dx, label[3] + dy)
            if _air(moved, near) > air + _WORTH:
                best, air = (dx, dy), _air(moved, near)
    if best == (0.0, 0.0):
        return body
    # the texts of tank marks stand among the shapes too, after those of the label
    inside = tuple(
        shape.posed(Pose(*best)) if _within(shape.bounds(), label) else shape
        for shape in body.label
    )
    dx, dy = best
    moved = (label[0] + dx, label[1] + dy, label[2] + dx, label[3] + dy)
    return replace(body, label=inside, label_box=moved)


def _air(label: Box, others: list[Box]) -> float:
    """Give the least distance to anything, no more than is wanted."""
    return min([_AIR, *(_apart(label, other) for other in others)])


def _apart(a: Box, b: Box) -> float:
    """Give the gap between two boxes along the direction in which they are farther apart."""
    return max(b[0] - a[2], a[0] - b[2], b[1] - a[3], a[1] - b[3])


def _within(inner: Box, outer: Box) -> bool:
    return (
        outer[0] - 1e-6 <= inner[0]
        and outer[1] - 1e-6 <= inner[1]
        and inner[2] <= outer[2] + 1e-6
        and inner[3] <= outer[3] + 1e-6
    )


def _box(ax: float, ay: float, bx: float, by: float) -> Box:
    return min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)
