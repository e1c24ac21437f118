"""Measures what is wrong with a finished drawing, and what of it is less than beautiful."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from circuitcheck.basics.shapes import Box, Point
from circuitcheck.symbols import OUTWARD, Anchor


@dataclass(frozen=True)
class Frame:
    """A symbol or tank mark on the sheet."""

    owner: str
    box: Box


@dataclass(frozen=True)
class Wire:
    """All that is drawn of one net; ``pins`` are the ports it must join."""

    net: str
    lines: tuple[tuple[Point, ...], ...]
    pins: tuple[tuple[str, Anchor], ...]


@dataclass(frozen=True)
class Words:
    """A text with the room it takes."""

    owner: str
    box: Box


@dataclass(frozen=True)
class Fault:
    """Something that makes a drawing wrong: ``slug`` names it, ``about`` who is concerned."""

    slug: str
    about: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.slug}: {', '.join(self.about)}"


Segment = tuple[Point, Point]


def find_faults(
    frames: Sequence[Frame], wires: Sequence[Wire], words: Sequence[Words]
) -> tuple[Fault, ...]:
    """Find every breach of what a drawing must keep; an empty answer is a sound drawing."""
    found: list[Fault] = []
    for a, b in combinations(frames, 2):
        if _overlap(a.box, b.box):
            found.append(Fault("symbol-on-symbol", (a.owner, b.owner)))
    for wire in wires:
        found += _wire_faults(wire)
        reach = _around(wire)
        for frame in (f for f in frames if _near(f.box, reach)):
            if any(_runs_through(s, frame.box) for s in _segments(wire)):
                found.append(Fault("line-through-symbol", (wire.net, frame.owner)))
        for text in (t for t in words if _near(t.box, reach)):
            if any(_strikes(s, text.box) for s in _segments(wire)):
                found.append(Fault("text-on-line", (text.owner, wire.net)))
    for one, other in _neighbours(wires):
        if any(_touch(s, t) for s in _segments(one) for t in _segments(other)):
            found.append(Fault("line-on-line", (one.net, other.net)))
    for text in words:
        for frame in frames:
            if _overlap(text.box, frame.box):
                found.append(Fault("text-on-symbol", (text.owner, frame.owner)))
    for first, second in combinations(words, 2):
        if _overlap(first.box, second.box):
            found.append(Fault("text-on-text", (first.owner, second.owner)))
    return tuple(found)


def crossings(wires: Sequence[Wire]) -> int:
    """Count where lines of two nets cross."""
    count = 0
    for one, other in _neighbours(wires):
        for s in _segments(one):
            for t in _segments(other):
                count += _crossing(s, t) is not None
    return count


def bends(wires: Sequence[Wire]) -> int:
    """Count the corners of all lines."""
    return sum(max(0, len(line) - 2) for wire in wires for line in wire.lines)


def length(wires: Sequence[Wire]) -> float:
    """Add up the length of all lines [M]."""
    return sum(math.dist(a, b) for wire in wires for a, b in _segments(wire))


def _segments(wire: Wire) -> Iterable[Segment]:
    for line in wire.lines:
        yield from pairwise(line)


def _around(wire: Wire) -> Box:
    points = [point for line in wire.lines for point in line] or [(0.0, 0.0)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def _near(a: Box, b: Box) -> bool:
    """Tell whether two boxes meet, be it at their edges only."""
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def _neighbours(wires: Sequence[Wire]) -> Iterable[tuple[Wire, Wire]]:
    """Give the pairs of lines that can have to do with each other at all."""
    reaches = [_around(wire) for wire in wires]
    for (one, a), (other, b) in combinations(zip(wires, reaches, strict=True), 2):
        if _near(a, b):
            yield one, other


def _box(segment: Segment) -> Box:
    (ax, ay), (bx, by) = segment
    return min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)


def _overlap(a: Box, b: Box) -> bool:
    return min(a[2], b[2]) - max(a[0], b[0]) > 1e-6 and min(a[3], b[3]) - max(a[1], b[1]) > 1e-6


def _runs_through(segment: Segment, box: Box) -> bool:
    """Tell whether a line runs inside a frame or along its edge (it may end on the edge)."""
    x0, y0, x1, y1 = _box(segment)
    wide, high = min(x1, box[2]) - max(x0, box[0]), min(y1, box[3]) - max(y0, box[1])
    if y0 == y1:
        return wide > 1e-6 and high >= -1e-6
    return high > 1e-6 and wide >= -1e-6


def _strikes(segment: Segment, box: Box) -> bool:
    x0, y0, x1, y1 = _box(segment)
    wide, high = min(x1, box[2]) - max(x0, box[0]), min(y1, box[3]) - max(y0, box[1])
    return wide > -1e-6 and high > -1e-6


def _crossing(s: Segment, t: Segment) -> Point | None:
    """Give the point where two segments cross inside both of them."""
    a, b = _box(s), _box(t)
    if (a[1] == a[3]) == (b[1] == b[3]):
        return None
    across, upright = (a, b) if a[1] == a[3] else (b, a)
    x, y = upright[0], across[1]
    inside = across[0] < x < across[2] and upright[1] < y < upright[3]
    return (x, y) if inside else None


def _touch(s: Segment, t: Segment) -> bool:
    """Tell whether two segments meet in any way other than a plain crossing."""
    a, b = _box(s), _box(t)
    meet = min(a[2], b[2]) >= max(a[0], b[0]) - 1e-6 and (min(a[3], b[3]) >= max(a[1], b[1]) - 1e-6)
    return meet and _crossing(s, t) is None


def _wire_faults(wire: Wire) -> Iterable[Fault]:
    """Find slanted lines, pins that are not joined, and joints of four lines."""
    arms: dict[Point, set[tuple[int, int]]] = {}
    parent: dict[Point, Point] = {}

    def root(p: Point) -> Point:
        while parent.setdefault(p, p) != p:
            p = parent[p]
        return p

    for (ax, ay), (bx, by) in _segments(wire):
        if ax != bx and ay != by:
            yield Fault("slanted-line", (wire.net,))
        step = ((bx > ax) - (bx < ax), (by > ay) - (by < ay))
        arms.setdefault((ax, ay), set()).add(step)
        arms.setdefault((bx, by), set()).add((-step[0], -step[1]))
        parent[root((ax, ay))] = root((bx, by))
    if any(len(ways) > 3 for ways in arms.values()):
        yield Fault("four-way-joint", (wire.net,))
    pieces = set()
    for owner, anchor in wire.pins:
        place = (anchor.x, anchor.y)
        if OUTWARD[anchor.side] not in arms.get(place, set()):
            yield Fault("open-port", (owner, wire.net))
        else:
            pieces.add(root(place))
    if len(pieces) > 1:
        yield Fault("net-in-pieces", (wire.net,))
