"""Places computed values and hose names beside the drawn lines, clear of everything else."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from circuitcheck.basics.shapes import Box, Point, Polygon, Shape, Text
from circuitcheck.schematic.bodies import Body, meet
from circuitcheck.schematic.fonts import LINE_PITCH, text_width
from circuitcheck.schematic.netlist import Value
from circuitcheck.schematic.placing import Layout, Line

VALUE = 1.4
"""Font size of values and of hose names [M]."""
_HIGH = 1.9
_CROWDED = 5.0  # cost of standing near another line as well [M]
_STRANGE = 8.0  # cost of standing beside another branch of the same net [M]
_AWAY, _TIGHT = 0.4, 3.0
"""Distance of a text from symbols and other texts, cost of standing nearer to them [M]."""
_OFF = 0.5  # distance of a text from its line [M]


@dataclass(frozen=True)
class Note:
    """A text beside a line, in a box if it is a value."""

    owner: str
    box: Box
    shapes: tuple[Shape, ...]


def place_notes(
    layout: Layout, values: tuple[Value, ...], taken: list[Box]
) -> tuple[list[Note], list[str]]:
    """Find a place for every value and line label; also name those that found none."""
    segments = _all_segments(layout)
    notes: list[Note] = []
    homeless: list[str] = []
    by_pin = {pin: line for line in layout.lines for pin, _ in line.pins}
    for (item, port), texts in _by_port(values).items():
        line = by_pin.get((item, port))
        anchor = layout.bodies[item].anchor(port)
        near = (anchor.x, anchor.y)
        ways = line.ways if line else _mark_ways(layout, item, port)
        note = _beside(f"{item}.{port}", tuple(texts), ways, near, taken, segments, boxed=True)
        if note is None:
            homeless.append(f"{item}.{port} {' '.join(texts)}")
        else:
            notes.append(note)
            taken.append(note.box)
    for line in layout.lines:
        if line.net.label:
            note = None
            for ways in (_main_ways(layout, line), line.ways):
                note = note or _beside(
                    line.net.id, (line.net.label,), ways, _middle(ways), taken, segments
                )
            if note is None:
                homeless.append(f"{line.net.id} {line.net.label}")
            else:
                notes.append(note)
                taken.append(note.box)
    return notes, homeless


def name_tank_hoses(layout: Layout, taken: list[Box]) -> tuple[list[Note], list[str]]:
    """Write the sizes of hoses to the tank beside their marks; also name those without room."""
    segments = _all_segments(layout)
    notes: list[Note] = []
    unnamed: list[str] = []
    for (item, port), label in layout.case.hoses.items():
        anchor = layout.bodies[item].anchor(port)
        ways, owner = _mark_ways(layout, item, port), f"{item}.{port}"
        note = _beside(owner, (label,), ways, (anchor.x, anchor.y), taken, segments)
        note = note or _below(owner, label, layout.bodies[item], port, taken, segments)
        if note is None:
            unnamed.append(f"{label} at {item} {port}")
        else:
            notes.append(note)
            taken.append(note.box)
    return notes, unnamed


def _below(
    owner: str, label: str, body: Body, port: str, taken: list[Box], segments: list[Box]
) -> Note | None:
    """Put the size of a hose under its tank mark, where its line is too short for it.

    Where there is no room either, it is written under the data of the part, with the port.
    """
    spots: list[tuple[str, float, float]] = []
    width = text_width(label, VALUE) + 0.2
    for mark in (mark for mark in body.marks if mark.port == port):
        x0, _, x1, y1 = mark.symbol.frame
        spots += [(label, x, y1 + 0.2) for x in ((x0 + x1 - width) / 2, x0, x1 - width)]
    if body.label_box is not None:
        x0, _, x1, y1 = body.label_box
        whole = f"{port} {label}"
        spots += [(whole, x0 - 0.1, y1), (whole, x1 - text_width(whole, VALUE) - 0.2, y1)]
    for text, x, y in spots:
        width = text_width(text, VALUE) + 0.2
        box = (x, y, x + width, y + _HIGH)
        others = [b for b in taken if b != body.label_box]
        clear = not any(meet(box, b, 0.15) for b in others)
        if clear and not any(meet(box, s, 0.3) for s in segments):
            written = Text((x + width / 2, y + _HIGH / 2), text, VALUE)
            return Note(owner, box, (written,))
    return None


def _by_port(values: tuple[Value, ...]) -> dict[tuple[str, str], list[str]]:
    found: dict[tuple[str, str], list[str]] = {}
    for value in values:
        found.setdefault((value.item, value.port), []).append(value.text)
    return found


def _all_segments(layout: Layout) -> list[Box]:
    lines = [way for line in layout.lines for way in line.ways]
    lines += [mark.line for body in layout.bodies.values() for mark in body.marks]
    lines += [(a, b) for _, a, b in layout.shafts]
    return [_box(a, b) for way in lines for a, b in pairwise(way)]


def _box(a: Point, b: Point) -> Box:
    return min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])


def _mark_ways(layout: Layout, item: str, port: str) -> list[tuple[Point, ...]]:
    return [mark.line for mark in layout.bodies[item].marks if mark.port == port]


def _main_ways(layout: Layout, line: Line) -> list[tuple[Point, ...]]:
    """Give a line without what leads to its gauges and bare pins: that has not its size."""
    stubs = {
        (anchor.x, anchor.y)
        for pin, anchor in line.pins
        if pin in line.net.bare or layout.bodies[pin[0]].item.role == "instrument"
    }
    return [way for way in line.ways if not stubs & {way[0], way[-1]}] or line.ways


def _middle(ways: list[tuple[Point, ...]]) -> Point:
    """Give the middle of the longest straight stretch of a line."""
    pairs = [pair for way in ways for pair in pairwise(way)]
    (ax, ay), (bx, by) = max(pairs, key=lambda p: abs(p[0][0] - p[1][0]) + abs(p[0][1] - p[1][1]))
    return (ax + bx) / 2, (ay + by) / 2


def _beside(
    owner: str,
    rows: tuple[str, ...],
    ways: list[tuple[Point, ...]],
    near: Point,
    taken: list[Box],
    segments: list[Box],
    *,
    boxed: bool = False,
) -> Note | None:
    """Put rows of text at the free place beside a line that is nearest to a point."""
    width = max(text_width(row, VALUE) for row in rows) + (0.8 if boxed else 0.2)
    height = _HIGH + (len(rows) - 1) * VALUE * LINE_PITCH
    own = {_box(a, b) for way in ways for a, b in pairwise(way)}
    best: tuple[float, float, float] | None = None
    for way in ways:
        # a text beside another branch of the net could be taken for that branch's
        strange = 0.0 if near in (way[0], way[-1]) or not boxed else _STRANGE
        reach = _round(way, width, height)
        close = [s for s in segments if meet(reach, s, 0.5)]
        standing = [box for box in taken if meet(reach, box, 0.5)]
        others = [s for s in close if s not in own]
        for x, y in _candidates(way, width, height):
            box = (x, y, x + width, y + height)
            distance = abs(x + width / 2 - near[0]) + abs(y + height / 2 - near[1]) + strange
            if best is not None and distance >= best[0]:
                continue
            if any(meet(box, b, 0.15) for b in standing) or any(meet(box, s, 0.2) for s in close):
                continue
            distance += _CROWDED * sum(meet(box, s, 1.2) for s in others)
            distance += _TIGHT * any(meet(box, b, _AWAY) for b in standing)
            if best is None or distance < best[0]:
                best = (distance, x, y)
    if best is None:
        return None
    _, x, y = best
    shapes: list[Shape] = [
        Text((x + width / 2, y + _HIGH / 2 + k * VALUE * LINE_PITCH), row, VALUE)
        for k, row in enumerate(rows)
    ]
    if boxed:
        shapes.append(Polygon(((x, y), (x + width, y), (x + width, y + height), (x, y + height))))
    return Note(owner, (x, y, x + width, y + height), tuple(shapes))


def _round(way: tuple[Point, ...], width: float, height: float) -> Box:
    """Give the room in which a text beside a line, and what is near to it, can stand."""
    wide, high = width + 2.0, height + 2.0
    xs, ys = [p[0] for p in way], [p[1] for p in way]
    return min(xs) - wide, min(ys) - high, max(xs) + wide, max(ys) + high


def _candidates(way: tuple[Point, ...], width: float, height: float) -> Iterable[Point]:
    """Give upper left corners along both sides of every stretch of a line."""
    for (ax, ay), (bx, by) in pairwise(way):
        if ax == bx:
            low, high = sorted((ay, by))
            for k in range(int(2 * (high - low)) + 1):
                y = low + k / 2 - height / 2
                yield ax + _OFF, y
                yield ax - _OFF - width, y
        else:
            low, high = sorted((ax, bx))
            for k in range(int(2 * (high - low)) + 1):
                x = low + k / 2 - width / 2
                yield x, ay - _OFF - height
                yield x, ay + _OFF
