"""A drawing as PDF, PNG or DXF; the converters are optional extras of the installation."""

from __future__ import annotations

import importlib
import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from circuitcheck.basics.shapes import Arc, Circle, Line, Point, Polygon, Text
from circuitcheck.schematic.svg import MODULE_MM, Fit, Group, Painted, arc_head, head_corners

FORMATS = ("svg", "pdf", "png", "dxf")
_DPI = 200.0
_LAYERS = (("net-", "lines", 7), ("part-", "parts", 7), ("values", "values", 5),
           ("frame", "titles", 7), ("title", "titles", 7), ("table", "titles", 7),
           ("block", "blocks", 8))  # fmt: skip
"""Start of a group's id -> layer and its colour number."""
_TYPES = {"solid": "CONTINUOUS", "dashed": "DASHED", "dash-dot": "DASHDOT"}
_ALIGN = {"start": "MIDDLE_LEFT", "middle": "MIDDLE_CENTER", "end": "MIDDLE_RIGHT"}
_AS_LAYER = 256  # colour number: that of the layer
_WEIGHTS = (13, 18, 25, 35, 50, 70, 100, 140, 200)
"""Widths of lines, of those that DXF knows [0.01 mm] (the series of ISO 128, from memory)."""
_CAPITALS = 0.72  # height of capitals, of the font size


class ConverterMissingError(Exception):
    """The optional extra that a format needs is not installed; the text says which."""


def _converter(module: str, extra: str, form: str) -> Any:
    try:
        return importlib.import_module(module)
    except (ImportError, OSError) as problem:
        raise ConverterMissingError(
            f"{form} needs the extra '{extra}':  pip install 'circuitcheck[{extra}]'"
        ) from problem


def as_pdf(svg: str) -> bytes:
    """Turn an SVG text into a PDF of the same size; ConverterMissingError without its extra."""
    converter = _converter("cairosvg", "pictures", "PDF")
    return bytes(converter.svg2pdf(bytestring=svg.encode()))


def as_png(svg: str, dpi: float = _DPI) -> bytes:
    """Turn an SVG text into a picture; ConverterMissingError without its extra."""
    converter = _converter("cairosvg", "pictures", "PNG")
    return bytes(converter.svg2png(bytestring=svg.encode(), dpi=dpi))


def as_dxf(groups: Sequence[Group], fit: Fit | None = None) -> str:
    """Write groups of shapes as DXF, in millimetres; ConverterMissingError without its extra.

    Groups become layers by what they hold; y runs upwards there. ``fit`` is the paper, whose
    lower left corner is then the origin.
    """
    converter = _converter("ezdxf", "dxf", "DXF")
    document = converter.new("R2010", setup=True)
    document.units = converter.units.MM
    for _, layer, colour in _LAYERS:
        if layer not in document.layers:
            document.layers.add(layer, color=colour, lineweight=25)
    page = _Page(document.modelspace())
    if fit is not None:
        page = _Page(page.space, (0.0, fit.high))
        for group in fit.groups:
            page.put(group)
        shift = (fit.shift[0], fit.high - fit.shift[1])
        page = _Page(page.space, shift, fit.scale * MODULE_MM)
    for group in groups:
        page.put(group)
    out = io.StringIO()
    document.write(out)
    return out.getvalue()


@dataclass(frozen=True)
class _Page:
    """Where shapes go: model space, place of their origin [mm], millimetres of a module."""

    space: Any
    origin: Point = (0.0, 0.0)
    module: float = MODULE_MM

    def put(self, group: Group) -> None:
        layer = next((name for start, name, _ in _LAYERS if group.id.startswith(start)), "0")
        for shape in group.shapes:
            painted = shape if isinstance(shape, Painted) else Painted(shape)
            self._put(painted, {"layer": layer, **_look(painted, self.module)})

    def _at(self, point: Point) -> tuple[float, float]:
        return self.origin[0] + point[0] * self.module, self.origin[1] - point[1] * self.module

    def _put(self, painted: Painted, kept: dict[str, Any]) -> None:
        shape = painted.shape
        match shape:
            case Line():
                points = [self._at(p) for p in shape.points]
                drawn = {**kept, "linetype": _TYPES[shape.style]}
                self.space.add_lwpolyline(points, dxfattribs=drawn)
                for before, tip in _heads(shape):
                    self._fill(head_corners(before, tip, painted.head), kept)
            case Polygon():
                if shape.filled or painted.fill:
                    self._fill(shape.points, {**kept, **_colour(painted.fill)})
                if painted.ink != "none":
                    points = [self._at(p) for p in shape.points]
                    drawn = {**kept, "linetype": _TYPES[shape.style]}
                    self.space.add_lwpolyline(points, close=True, dxfattribs=drawn)
            case Circle():
                centre, radius = self._at(shape.centre), shape.radius * self.module
                self.space.add_circle(centre, radius, dxfattribs=kept)
                if shape.filled:
                    hatch = self._hatch(kept)
                    hatch.paths.add_edge_path().add_arc(centre, radius, 0, 360)
            case Arc():
                low, high = sorted((-shape.start, -shape.end))
                centre, radius = self._at(shape.centre), shape.radius * self.module
                self.space.add_arc(centre, radius, low, high, dxfattribs=kept)
                if shape.headed:
                    self._fill(arc_head(shape), kept)
            case Text():
                height = shape.size * _CAPITALS * self.module
                text = self.space.add_text(_literal(shape.content), height=height, dxfattribs=kept)
                text.set_placement(self._at(shape.at), align=_alignment(_ALIGN[shape.anchor]))

    def _fill(self, corners: Sequence[Point], kept: dict[str, Any]) -> None:
        hatch = self._hatch(kept)
        hatch.paths.add_polyline_path([self._at(p) for p in corners], is_closed=True)

    def _hatch(self, kept: dict[str, Any]) -> Any:
        attributes = {name: value for name, value in kept.items() if name != "lineweight"}
        return self.space.add_hatch(color=_AS_LAYER, dxfattribs=attributes)


def _literal(text: str) -> str:
    """Write marks that DXF would read as signs of its own (%%c, ^J) so that they stay as they are.

    The forms of TEXT in the DXF reference, from memory; ezdxf's ``plain_text`` reads them back.
    """
    return text.replace("%%", "%%%%%%").replace("^", "^ ")


def _look(painted: Painted, module: float) -> dict[str, Any]:
    """Give colour and width of a painted shape; width in hundredths of a millimetre."""
    found = _colour(painted.ink)
    if painted.width is not None:
        wide = 100.0 * painted.width * module
        found["lineweight"] = min(_WEIGHTS, key=lambda weight: abs(weight - wide))
    return found


def _colour(colour: str) -> dict[str, Any]:
    """Give a colour such as ``#6fb3ee``; that of the layer where there is none."""
    return {"true_color": int(colour[1:], 16)} if colour.startswith("#") else {}


def _alignment(name: str) -> Any:
    enums = importlib.import_module("ezdxf.enums")
    return enums.TextEntityAlignment[name]


def _heads(line: Line) -> list[tuple[Point, Point]]:
    found = []
    if line.heads in ("end", "both"):
        found.append((line.points[-2], line.points[-1]))
    if line.heads == "both":
        found.append((line.points[1], line.points[0]))
    return found
