"""Shapes to SVG 1.1; the only module that knows the SVG library.

One module is 2.5 mm at full size. The view box is in millimetres, so that a browser, a word
processor and a plotter agree about the size.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any
from xml.etree import ElementTree

import svgwrite

from circuitcheck.basics.shapes import (
    ARROW_HALF_WIDTH,
    ARROW_LENGTH,
    LINE_WIDTH,
    Arc,
    Box,
    Circle,
    Line,
    Point,
    Polygon,
    Shape,
    Style,
    Text,
)
from circuitcheck.schematic.fonts import FAMILY

MODULE_MM = 2.5
INK = "#000000"
_DASHES: dict[Style, str] = {"solid": "", "dashed": "1.2 0.3", "dash-dot": "2.4 0.3 0.05 0.3"}
"""Dash and gap lengths [M]; ISO 128 proportions, from memory."""
_BASELINE = 0.36  # from the middle of capitals down to the baseline, of the font size


@dataclass(frozen=True)
class Painted:
    """A shape in a colour of its own: ``ink`` of its line ("" as usual), ``fill``, line width.

    ``width`` is in modules; ``head`` makes an arrowhead so much larger than usual.
    """

    shape: Shape
    ink: str = ""
    width: float | None = None
    fill: str = ""
    head: float = 1.0


@dataclass(frozen=True)
class Group:
    """Shapes that belong together, under one id; ``note`` is what a pointer shows.

    ``link`` is where a click leads, such as a line of the circuit's text; ``about`` says
    what it is to those who hear a drawing read out.
    """

    id: str
    shapes: tuple[Shape | Painted, ...]
    note: str = ""
    link: str = ""
    about: str = ""


@dataclass(frozen=True)
class Fit:
    """How a drawing is put on a sheet of paper: its size [mm], scale and shift [mm].

    ``frame`` and ``block``, the title block, are drawn at full size, not at the scale.
    """

    wide: float
    high: float
    frame: tuple[Painted | Shape, ...]
    block: tuple[Shape, ...]
    scale: float
    shift: Point

    @property
    def groups(self) -> tuple[Group, Group]:
        """Give what belongs to the sheet itself."""
        return Group("frame", self.frame), Group("title-block", self.block)


def to_svg(
    groups: Sequence[Group], box: Box, title: str, description: str, fit: Fit | None = None
) -> str:
    """Write groups of shapes as an SVG text; ``box`` is the sheet [M], ``fit`` its paper."""
    x0, y0, x1, y1 = (side * MODULE_MM for side in box)
    if fit is not None:
        x0, y0, x1, y1 = 0.0, 0.0, fit.wide, fit.high
    sheet = svgwrite.Drawing(
        size=(f"{_mm(x1 - x0)}mm", f"{_mm(y1 - y0)}mm"),
        viewBox=f"{_mm(x0)} {_mm(y0)} {_mm(x1 - x0)} {_mm(y1 - y0)}",
        profile="full",
        debug=True,
    )
    sheet.set_desc(title=title, desc=description)
    sheet.add(sheet.rect((_mm(x0), _mm(y0)), (_mm(x1 - x0), _mm(y1 - y0)), fill="#ffffff"))
    page = _inked(sheet)
    if fit is not None:
        whole = _inked(sheet)
        for group in fit.groups:
            whole.add(_held(sheet, group, group.id))
        sheet.add(whole)
        page.translate(_mm(fit.shift[0]), _mm(fit.shift[1]))
        page.scale(round(fit.scale, 5))
    for group, name in zip(groups, _ids(groups), strict=True):
        page.add(_held(sheet, group, name))
    sheet.add(page)
    return _valid(sheet)


def _valid(sheet: Any) -> str:
    """Write the sheet without the name space of events, which SVG 1.1 does not know."""
    root = sheet.get_xml()
    del root.attrib["xmlns:ev"]
    return ElementTree.tostring(root, encoding="unicode")


def _inked(sheet: Any) -> Any:
    """Give a group in which lines are black and one tenth of a module wide."""
    return sheet.g(
        fill="none",
        stroke=INK,
        stroke_width=_mm(LINE_WIDTH * MODULE_MM),
        stroke_linejoin="round",
        font_family=FAMILY,
    )


def _held(sheet: Any, group: Group, name: str) -> Any:
    """Write a group with its note and its link."""
    held = sheet.g(id=name)
    if group.note or group.about:
        held.set_desc(title=group.note or None, desc=group.about or None)
    inside = held
    if group.link:
        inside = held.add(sheet.a(group.link, target="_top"))
    for shape in group.shapes:
        for drawn in _drawn(sheet, shape):
            inside.add(drawn)
    return held


def _ids(groups: Sequence[Group]) -> list[str]:
    """Bring the groups' ids to what XML allows, each only once."""
    taken: list[str] = []
    for group in groups:
        wanted = re.sub(r"[^A-Za-z0-9_.-]", "_", group.id)
        name, number = wanted, 2
        while name in taken:
            name, number = f"{wanted}_{number}", number + 1
        taken.append(name)
    return taken


def _mm(value: float) -> float:
    return round(value, 3) + 0.0


def _at(point: Point) -> tuple[float, float]:
    return _mm(point[0] * MODULE_MM), _mm(point[1] * MODULE_MM)


def _stroke(style: Style) -> dict[str, str]:
    if not _DASHES[style]:
        return {}
    scaled = " ".join(f"{float(part) * MODULE_MM:g}" for part in _DASHES[style].split())
    return {"stroke_dasharray": scaled}


def _drawn(sheet: Any, shape: Shape | Painted) -> Iterable[Any]:
    match shape:
        case Painted():
            yield from _painted(sheet, shape)
        case Line():
            yield from _line(sheet, shape)
        case Polygon():
            fill = {"fill": INK} if shape.filled else {}
            points = [_at(p) for p in shape.points]
            yield sheet.polygon(points, **fill, **_stroke(shape.style))
        case Circle():
            fill = {"fill": INK} if shape.filled else {}
            if shape.filled:
                fill["stroke"] = "none"
            yield sheet.circle(_at(shape.centre), _mm(shape.radius * MODULE_MM), **fill)
        case Arc():
            yield from _arc(sheet, shape)
        case Text():
            x, y = shape.at
            yield sheet.text(
                shape.content,
                insert=_at((x, y + _BASELINE * shape.size)),
                font_size=_mm(shape.size * MODULE_MM),
                text_anchor=shape.anchor,
                font_weight="bold" if shape.bold else "normal",
                fill=INK,
                stroke="none",
            )


def _painted(sheet: Any, painted: Painted) -> Iterable[Any]:
    """Draw a shape in its own colours; what is usually inked takes the ink."""
    shape = painted.shape
    if isinstance(shape, Line) and shape.heads != "none" and painted.head != 1.0:
        head = _head(sheet, shape.points[-2], shape.points[-1], painted.head)
        head["fill"] = painted.ink or INK
        yield head
        return
    for drawn in _drawn(sheet, shape):
        filled = drawn.attribs.get("fill") == INK
        if painted.ink and filled:
            drawn["fill"] = painted.ink
        elif painted.ink:
            drawn["stroke"] = painted.ink
        if painted.fill:
            drawn["fill"] = painted.fill
        if painted.width is not None:
            drawn["stroke-width"] = _mm(painted.width * MODULE_MM)
        yield drawn


def _line(sheet: Any, line: Line) -> Iterable[Any]:
    points = list(line.points)
    if line.heads != "none":
        yield _head(sheet, points[-2], points[-1])
        points[-1] = _short_of(points[-2], points[-1])
    if line.heads == "both":
        yield _head(sheet, points[1], points[0])
        points[0] = _short_of(points[1], points[0])
    yield sheet.polyline([_at(p) for p in points], **_stroke(line.style))


def _arc(sheet: Any, arc: Arc) -> Iterable[Any]:
    end = arc.end
    clockwise = arc.end > arc.start
    if arc.headed:
        end -= 0.8 * _reach_of_head(arc)
        yield sheet.polygon([_at(p) for p in arc_head(arc)], fill=INK, stroke="none")
    radius = _mm(arc.radius * MODULE_MM)
    (x0, y0), (x1, y1) = _at(arc.at(arc.start)), _at(arc.at(end))
    large = int(abs(end - arc.start) > 180)
    yield sheet.path(f"M {x0} {y0} A {radius} {radius} 0 {large} {int(clockwise)} {x1} {y1}")


def _reach_of_head(arc: Arc) -> float:
    """Give the angle that an arrowhead takes of an arc, with its sign [deg]."""
    return math.degrees(ARROW_LENGTH / arc.radius) * (1 if arc.end > arc.start else -1)


def arc_head(arc: Arc) -> list[Point]:
    """Give the corners of the arrowhead at the end of an arc [M]."""
    return head_corners(arc.at(arc.end - _reach_of_head(arc)), arc.at(arc.end))


def _short_of(before: Point, tip: Point) -> Point:
    """Stop a line inside its arrowhead, so that its end does not blunt the tip."""
    length = math.dist(before, tip)
    keep = max(0.0, length - 0.8 * ARROW_LENGTH) / length
    return tuple(b + keep * (t - b) for b, t in zip(before, tip, strict=True))  # type: ignore[return-value]


def _head(sheet: Any, before: Point, tip: Point, size: float = 1.0) -> Any:
    corners = [_at(p) for p in head_corners(before, tip, size)]
    return sheet.polygon(corners, fill=INK, stroke="none")


def head_corners(before: Point, tip: Point, size: float = 1.0) -> list[Point]:
    """Give the corners of an arrowhead at ``tip``, ``size`` times as large as usual [M]."""
    length = math.dist(before, tip)
    ux, uy = (tip[0] - before[0]) / length, (tip[1] - before[1]) / length
    bx, by = tip[0] - size * ARROW_LENGTH * ux, tip[1] - size * ARROW_LENGTH * uy
    half = size * size * ARROW_HALF_WIDTH
    wx, wy = -uy * half, ux * half
    return [tip, (bx + wx, by + wy), (bx - wx, by - wy)]
