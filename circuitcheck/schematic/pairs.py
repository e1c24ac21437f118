"""Brings the two lines between a valve and its actuator to bends at one height."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

from circuitcheck.basics.shapes import Box, Point
from circuitcheck.schematic.bodies import Body, meet

if TYPE_CHECKING:
    from circuitcheck.schematic.placing import Line

_CLEAR = 0.3  # least distance of a line from texts and symbols [M]
_APART = 0.9  # least distance of two lines side by side [M]


def level_pairs(lines: list[Line], bodies: dict[str, Body]) -> None:
    """Move the cross piece of one of two such lines where it then runs as the other's does."""
    steps = [line for line in lines if _is_step(line)]
    for one, other in combinations(steps, 2):
        (a,), (b,) = one.ways, other.ways
        same = {i for (i, _), _ in one.pins} == {i for (i, _), _ in other.pins}
        if not same or a[1][1] == b[1][1] or _overlap(a, b):
            continue
        for moved, height in ((other, a[1][1]), (one, b[1][1])):
            (way,) = moved.ways
            if not _inside(way, height):
                continue
            risen = (way[0], (way[1][0], height), (way[2][0], height), way[3])
            if _is_free(risen, moved, lines, bodies):
                moved.ways[0] = risen
                break


def _is_step(line: Line) -> bool:
    """Tell whether a line between two items goes up, across and up again."""
    if len(line.ways) != 1 or len(line.pins) != 2 or len(line.ways[0]) != 4:
        return False
    a, b, c, d = line.ways[0]
    return a[0] == b[0] and b[1] == c[1] and c[0] == d[0]


def _overlap(a: tuple[Point, ...], b: tuple[Point, ...]) -> bool:
    first, second = sorted((a[1][0], a[2][0])), sorted((b[1][0], b[2][0]))
    return first[0] <= second[1] and second[0] <= first[1]


def _inside(way: tuple[Point, ...], height: float) -> bool:
    low, high = sorted((way[0][1], way[3][1]))
    return low + 1 <= height <= high - 1


def _is_free(
    way: tuple[Point, ...], moved: Line, lines: list[Line], bodies: dict[str, Body]
) -> bool:
    own = list(_boxes([way]))
    strange = list(_boxes(w for line in lines if line is not moved for w in line.ways))
    if any(meet(box, other, _APART) for box in own[1:2] for other in strange):
        return False
    if any(meet(box, other, _CLEAR) for box in own for other in strange):
        return False
    frames = [box for body in bodies.values() for box in body.boxes()]
    return not any(meet(own[1], box, _CLEAR) for box in frames) and not any(
        meet(own[k], box, -_CLEAR) for k in (0, 2) for box in frames
    )


def _boxes(ways: Iterable[tuple[Point, ...]]) -> Iterable[Box]:
    for way in ways:
        for (ax, ay), (bx, by) in pairwise(way):
            yield min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)
