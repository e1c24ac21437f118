"""Sheets of paper: sizes, frame, centring marks and grid of ISO 5457 (from memory)."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from circuitcheck.basics.shapes import Box, Line, Shape, Text, rectangle
from circuitcheck.schematic.svg import MODULE_MM, Fit

SIZES = {"A4": (210.0, 297.0), "A3": (297.0, 420.0), "A2": (420.0, 594.0),
         "A1": (594.0, 841.0), "A0": (841.0, 1189.0)}  # fmt: skip
"""Width and height of trimmed sheets, upright [mm] (ISO 216)."""
_EDGE, _FILING = 10.0, 20.0
"""Borders: 10 mm, at the left 20 mm for filing [mm] (ISO 5457, from memory)."""
_FIELD, _STRIP, _MARK = 50.0, 5.0, 5.0
"""Length of a grid field, width of its strip, reach of a centring mark [mm]."""
_ROWS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # I and O are left out


@dataclass(frozen=True)
class Paper:
    """A sheet that a drawing is fitted to: name, size [mm], and the size of one module [mm]."""

    name: str
    wide: float
    high: float
    module: float = MODULE_MM

    @property
    def inside(self) -> Box:
        """Give the drawing space [mm], without the strip of the grid."""
        strip = _STRIP + 2.0
        return _FILING + strip, _EDGE + strip, self.wide - _EDGE - strip, self.high - _EDGE - strip


def paper_for(said: str, box: Box) -> Paper:
    """Choose the sheet: ``said`` is such as "A3, landscape"; ``box`` what it must hold [M].

    Without a size the smallest sheet that holds it at full size is taken; without a direction
    the better one. A drawing too large for the sheet gets a smaller module.
    ValueError if the size is not one of A4 to A0.
    """
    wanted = re.search(r"\bA\d\b", said.upper())
    if wanted and wanted.group() not in SIZES:
        raise ValueError(f"no sheet {wanted.group()}; there are {', '.join(SIZES)}")
    names = [wanted.group()] if wanted else list(SIZES)
    found: list[Paper] = []
    for name in names:
        wide, high = SIZES[name]
        ways = [(wide, high), (high, wide)]
        if "landscape" in said:
            ways = ways[1:]
        elif "portrait" in said or name == "A4":
            ways = ways[:1]
        fitted = [_fitted(Paper(name, *way), box) for way in ways]
        found.append(max(fitted, key=lambda paper: paper.module))
        if found[-1].module >= MODULE_MM:
            break
    return max(found, key=lambda paper: paper.module)


def _fitted(paper: Paper, box: Box) -> Paper:
    x0, y0, x1, y1 = paper.inside
    most = min((x1 - x0) / (box[2] - box[0]), (y1 - y0) / (box[3] - box[1]))
    # whole twentieths of a millimetre: a module that can be named
    module = min(MODULE_MM, int(most * 20) / 20)
    return Paper(paper.name, paper.wide, paper.high, module)


def fitted(paper: Paper, box: Box) -> Fit:
    """Put a drawing on a sheet, its lower right corner (the title block) in the sheet's one."""
    _, _, x1, y1 = paper.inside
    shift = (x1 - box[2] * paper.module, y1 - box[3] * paper.module)
    return Fit(paper.wide, paper.high, _frame(paper), paper.module / MODULE_MM, shift)


def _frame(paper: Paper) -> tuple[Shape, ...]:
    """Draw frame, centring marks and grid letters of a sheet, in millimetres."""
    x0, y0, x1, y1 = _FILING, _EDGE, paper.wide - _EDGE, paper.high - _EDGE
    shapes: list[Shape] = [
        rectangle(x0, y0, x1 - x0, y1 - y0),
        rectangle(x0 + _STRIP, y0 + _STRIP, x1 - x0 - 2 * _STRIP, y1 - y0 - 2 * _STRIP),
    ]
    cx, cy = paper.wide / 2, paper.high / 2
    shapes += [
        Line(((cx, y0 - _MARK), (cx, y0 + _STRIP))),
        Line(((cx, y1 + _MARK), (cx, y1 - _STRIP))),
        Line(((x0 - _MARK, cy), (x0 + _STRIP, cy))),
        Line(((x1 + _MARK, cy), (x1 - _STRIP, cy))),
    ]
    for name, low, high in _fields(x0 + _STRIP, x1 - _STRIP, cx, [str(k) for k in range(1, 99)]):
        for y in (y0, y1 - _STRIP):
            shapes.append(Line(((high, y), (high, y + _STRIP))))
            shapes.append(Text(((low + high) / 2, y + _STRIP / 2), name, 3.5))
    for name, low, high in _fields(y0 + _STRIP, y1 - _STRIP, cy, list(_ROWS)):
        for x in (x0, x1 - _STRIP):
            shapes.append(Line(((x, high), (x + _STRIP, high))))
            shapes.append(Text((x + _STRIP / 2, (low + high) / 2), name, 3.5))
    return tuple(shapes)


def _fields(
    low: float, high: float, middle: float, names: list[str]
) -> Iterable[tuple[str, float, float]]:
    """Cut a side into fields of 50 mm, counted from the centring mark; ends take the rest."""
    cuts = [middle]
    while cuts[0] - _FIELD > low + _FIELD / 2:
        cuts.insert(0, cuts[0] - _FIELD)
    while cuts[-1] + _FIELD < high - _FIELD / 2:
        cuts.append(cuts[-1] + _FIELD)
    edges = [low, *cuts, high]
    yield from zip(names, edges, edges[1:], strict=False)
