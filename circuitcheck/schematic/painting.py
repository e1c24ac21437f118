"""Paints a finished layout with the figures of a step: colour, width and arrows of lines.

Colour is pressure, width is flow, an arrowhead shows its direction, a tint behind a symbol is
the power lost there. Each piece of a line between its joints has its own flow: what all ports
on its one side give together.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from circuitcheck.basics.shapes import (
    ARROW_HALF_WIDTH,
    ARROW_LENGTH,
    LINE_WIDTH,
    Box,
    Circle,
    Line,
    Point,
    Text,
    rectangle,
)
from circuitcheck.schematic.bodies import meet
from circuitcheck.schematic.colours import loss_colour, pressure_colour
from circuitcheck.schematic.fonts import text_width
from circuitcheck.schematic.netlist import Pin
from circuitcheck.schematic.placing import Layout
from circuitcheck.schematic.placing import Line as DrawnLine
from circuitcheck.schematic.seen import Seen
from circuitcheck.schematic.svg import Group, Painted

_WIDEST = 0.5
"""Width of the line with the greatest flow [M]."""
_STILL = 1.7e-6
"""Flows below are leakage and get no arrow [m3/s] (0.1 L/min; own choice)."""
_AWAY = 0.65  # least distance of an arrowhead from a crossing line or an end [M]
_LARGEST, _PASSING = 1.6, 1.29
"""Sizes of the arrowhead on the widest line, and where texts are near, of the usual size; a
little more than the second would touch texts at their usual distance from a line."""
_JOINT = 0.375
_SHADES, _FIELD, _PITCH = 8, 2.4, 4.0
"""Fields of a scale in the legend, length of one, distance of the scales [M]."""
_TEXT = 1.4
"""Font size in the legend [M]."""


@dataclass(frozen=True)
class Piece:
    """A stretch of line without joints; ``flow`` from its first to its last point [m3/s]."""

    way: tuple[Point, ...]
    flow: float
    pressure: float | None


def pieces(line: DrawnLine, seen: Seen) -> list[Piece]:
    """Give every stretch of a line with its flow and pressure."""
    pins = {(anchor.x, anchor.y): pin for pin, anchor in line.pins}
    known = [seen.pressure[pin] for pin in pins.values() if pin in seen.pressure]
    mean = sum(known) / len(known) if known else None
    found = []
    for way in line.ways:
        here = [seen.pressure[pins[p]] for p in (way[0], way[-1]) if pins.get(p) in seen.pressure]
        pressure = here[0] if here else mean
        found.append(Piece(way, _through(line, way, pins, seen), pressure))
    return found


def _through(line: DrawnLine, way: tuple[Point, ...], pins: dict[Point, Pin], seen: Seen) -> float:
    """Give what runs along a stretch: all that the ports beyond its end take in."""
    others = [w for w in line.ways if w is not way]
    reached, frontier = {way[-1]}, [way[-1]]
    while frontier:
        here = frontier.pop()
        for other in others:
            for near, far in ((other[0], other[-1]), (other[-1], other[0])):
                if near == here and far not in reached:
                    reached.add(far)
                    frontier.append(far)
    return sum(seen.flow.get(pins[point], 0.0) for point in reached if point in pins)


def painted_line(
    line: DrawnLine, seen: Seen, crossing: list[Box], texts: list[Box]
) -> tuple[Painted, ...]:
    """Draw a line with its joints, every stretch in its colour and width."""
    found: list[Painted] = []
    colours: dict[Point, str] = {}
    for piece in pieces(line, seen):
        dashed = line.dashed or line.ends_in_pilot(piece.way)
        colour = _colour(piece.pressure, seen)
        found.append(_stretch(piece, dashed, colour, seen))
        found += _arrow(piece, colour, crossing, texts, _width(piece, seen))
        for end in (piece.way[0], piece.way[-1]):
            colours.setdefault(end, colour)
    dots = [Circle(point, _JOINT, filled=True) for point in line.joints]
    return (*found, *(Painted(dot, colours.get(dot.centre, "")) for dot in dots))


def painted_mark(
    way: tuple[Point, ...],
    pin: Pin,
    dashed: bool,
    seen: Seen,
    crossing: list[Box],
    texts: list[Box],
) -> tuple[Painted, ...]:
    """Draw the line from a port down to its tank mark."""
    piece = Piece(way, -seen.flow.get(pin, 0.0), seen.pressure.get(pin))
    colour = _colour(piece.pressure, seen)
    arrow = _arrow(piece, colour, crossing, texts, _width(piece, seen))
    return (_stretch(piece, dashed, colour, seen), *arrow)


def painted_lead(lead: Line, pin: Pin, seen: Seen) -> Painted:
    """Draw the lead of a symbol as the line that goes on from it."""
    piece = Piece(lead.points, seen.flow.get(pin, 0.0), seen.pressure.get(pin))
    return _stretch(piece, lead.style == "dashed", _colour(piece.pressure, seen), seen)


def tints(layout: Layout, seen: Seen) -> Group:
    """Give a tinted field behind every symbol in which power is lost."""
    most = seen.most[2]
    fields = []
    for name, loss in seen.loss.items():
        if name in layout.bodies and most > 0.0:
            x0, y0, x1, y1 = layout.bodies[name].symbol.frame
            shape = rectangle(x0, y0, x1 - x0, y1 - y0)
            fields.append(Painted(shape, "none", fill=loss_colour(loss / most)))
    return Group("losses", tuple(fields), "Power lost")


def _colour(pressure: float | None, seen: Seen) -> str:
    most = seen.most[0]
    return "" if pressure is None or most <= 0.0 else pressure_colour(pressure / most)


def _stretch(piece: Piece, dashed: bool, colour: str, seen: Seen) -> Painted:
    line = Line(piece.way, "dashed" if dashed else "solid")
    return Painted(line, colour, _width(piece, seen))


def _width(piece: Piece, seen: Seen) -> float:
    most = seen.most[1]
    share = abs(piece.flow) / most if most > 0.0 else 0.0
    return LINE_WIDTH + share * (_WIDEST - LINE_WIDTH)


def _arrow(
    piece: Piece, colour: str, crossing: list[Box], texts: list[Box], width: float
) -> Iterable[Painted]:
    """Put an arrowhead into the longest straight part of a stretch that has room for it.

    It is the larger the wider its line, so that it stands out of it, and keeps clear of
    texts: where they leave no place it is smaller, or there is none.
    """
    if abs(piece.flow) <= _STILL:
        return
    way = piece.way if piece.flow > 0 else piece.way[::-1]
    large = 1.0 + width / _WIDEST * (_LARGEST - 1.0)
    for head in dict.fromkeys((large, min(large, _PASSING), 1.0)):
        tip = _place(way, head, crossing, texts)
        if tip is not None:
            yield Painted(Line(tip, heads="end"), colour, head=head)
            return


def _place(
    way: tuple[Point, ...], head: float, crossing: list[Box], texts: list[Box]
) -> tuple[Point, Point] | None:
    """Find a place for an arrowhead: a point just before its tip, and the tip."""
    reach, half = head * ARROW_LENGTH / 2, head * head * ARROW_HALF_WIDTH
    for (ax, ay), (bx, by) in sorted(pairwise(way), key=lambda s: -_length(*s)):
        size = _length((ax, ay), (bx, by))
        ux, uy = (bx > ax) - (bx < ax), (by > ay) - (by < ay)
        for step in _from_middle(size, reach + _AWAY):
            x, y = ax + ux * step, ay + uy * step
            wide, high = max(half, reach * abs(ux)), max(half, reach * abs(uy))
            own = (x - wide, y - high, x + wide, y + high)
            if any(meet(own, box, 0.05) for box in texts):
                continue
            if not any(_beside(x, y, box, (ux, uy), reach + _AWAY) for box in crossing):
                tip = (x + reach * ux, y + reach * uy)
                return (tip[0] - 0.01 * ux, tip[1] - 0.01 * uy), tip
    return None


def _length(a: Point, b: Point) -> float:
    return abs(a[0] - b[0]) + abs(a[1] - b[1])


def _from_middle(size: float, clear: float) -> Iterable[float]:
    """Give places along a straight part, the middle first, none near its ends."""
    half = size / 2
    steps = int(2 * (half - clear)) + 1 if half >= clear else 0
    for k in range(steps):
        yield half + k / 2
        yield half - k / 2


def _beside(x: float, y: float, box: Box, way: tuple[int, int], clear: float) -> bool:
    """Tell whether a line across the way runs near a place."""
    across = (box[2] > box[0]) != (way[0] != 0)
    near = box[0] - clear < x < box[2] + clear and box[1] - clear < y < box[3] + clear
    return across and near


def legend(seen: Seen, x: float, y: float) -> tuple[Group, Box]:
    """Draw the legend of the three scales, upper left corner at x, y [M]."""
    shapes: list[Painted | Line | Text] = []
    names = ("Pressure", "Flow", "Power lost")
    start = x + max(text_width(name, _TEXT) for name in names) + 1.5
    long = _SHADES * _FIELD
    right = start + long
    for row, (name, ends) in enumerate(zip(names, seen.scales, strict=True)):
        middle = y + 1.2 + _PITCH * row
        shapes.append(Text((x, middle), name, _TEXT, "start"))
        for k in range(_SHADES):
            share = k / (_SHADES - 1)
            at = start + _FIELD * k
            field = rectangle(at, middle - 0.7, _FIELD, 1.4)
            if row == 1:
                width = LINE_WIDTH + share * (_WIDEST - LINE_WIDTH)
                shapes.append(Painted(Line(((at, middle), (at + _FIELD, middle))), "", width))
            else:
                fill = pressure_colour(share) if row == 0 else loss_colour(share)
                shapes.append(Painted(field, "none", fill=fill))
        for share, text in zip((0.0, 0.5, 1.0), ends, strict=True):
            at = start + long * share
            shapes.append(Line(((at, middle + 0.8), (at, middle + 1.2))))
            shapes.append(Text((at, middle + 2.0), text, _TEXT))
            right = max(right, at + text_width(text, _TEXT) / 2)
    return Group("legend", tuple(shapes)), (x, y, right, y + _PITCH * len(names))
