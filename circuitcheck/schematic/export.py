"""A drawing as PDF, PNG or DXF; the converters are optional extras of the installation."""

from __future__ import annotations

import importlib
import io
from collections.abc import Sequence
from typing import Any

from circuitcheck.basics.shapes import Arc, Circle, Line, Point, Polygon, Shape, Text
from circuitcheck.schematic.svg import MODULE_MM, Group, Painted, head_corners

FORMATS = ("svg", "pdf", "png", "dxf")
_DPI = 200.0
_LAYERS = (("net-", "lines", 7), ("part-", "parts", 7), ("values", "values", 5),
           ("title", "titles", 7), ("table", "titles", 7), ("block", "blocks", 8))  # fmt: skip
"""Start of a group's id -> layer and its colour number."""
_TYPES = {"solid": "CONTINUOUS", "dashed": "DASHED", "dash-dot": "DASHDOT"}
_ALIGN = {"start": "MIDDLE_LEFT", "middle": "MIDDLE_CENTER", "end": "MIDDLE_RIGHT"}
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


def as_dxf(groups: Sequence[Group]) -> str:
    """Write groups of shapes as DXF, in millimetres; ConverterMissingError without its extra.

    Groups become layers by what they hold; y runs upwards there.
    """
    converter = _converter("ezdxf", "dxf", "DXF")
    document = converter.new("R2010", setup=True)
    document.units = converter.units.MM
    for _, layer, colour in _LAYERS:
        if layer not in document.layers:
            document.layers.add(layer, color=colour)
    space = document.modelspace()
    for group in groups:
        layer = next((name for start, name, _ in _LAYERS if group.id.startswith(start)), "0")
        for shape in group.shapes:
            _put(space, shape.shape if isinstance(shape, Painted) else shape, layer)
    out = io.StringIO()
    document.write(out)
    return out.getvalue()


def _at(point: Point) -> tuple[float, float]:
    return point[0] * MODULE_MM, -point[1] * MODULE_MM


def _put(space: Any, shape: Shape, layer: str) -> None:
    kept = {"layer": layer}
    match shape:
        case Line():
            kept["linetype"] = _TYPES[shape.style]
            space.add_lwpolyline([_at(p) for p in shape.points], dxfattribs=kept)
            for before, tip in _heads(shape):
                _head(space, before, tip, kept)
        case Polygon():
            points = [_at(p) for p in shape.points]
            if shape.filled:
                hatch = space.add_hatch(dxfattribs={"layer": layer})
                hatch.paths.add_polyline_path(points, is_closed=True)
            kept["linetype"] = _TYPES[shape.style]
            space.add_lwpolyline(points, close=True, dxfattribs=kept)
        case Circle():
            space.add_circle(_at(shape.centre), shape.radius * MODULE_MM, dxfattribs=kept)
            if shape.filled:
                hatch = space.add_hatch(dxfattribs={"layer": layer})
                hatch.paths.add_edge_path().add_arc(
                    _at(shape.centre), shape.radius * MODULE_MM, 0, 360
                )
        case Arc():
            low, high = sorted((-shape.start, -shape.end))
            space.add_arc(_at(shape.centre), shape.radius * MODULE_MM, low, high, dxfattribs=kept)
        case Text():
            height = shape.size * _CAPITALS * MODULE_MM
            text = space.add_text(shape.content, height=height, dxfattribs=kept)
            place = _alignment(_ALIGN[shape.anchor])
            text.set_placement(_at(shape.at), align=place)


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


def _head(space: Any, before: Point, tip: Point, kept: dict[str, str]) -> None:
    hatch = space.add_hatch(dxfattribs={"layer": kept["layer"]})
    hatch.paths.add_polyline_path([_at(p) for p in head_corners(before, tip)], is_closed=True)
