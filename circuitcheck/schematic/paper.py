"""Sheets of paper: sizes, drawing space, centring marks and grid of ISO 5457:1999 (from memory).

All places on a sheet are in modules of full size (2.5 mm), from its upper left corner.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from circuitcheck.basics.shapes import Box, Line, Point, Shape, Text, rectangle
from circuitcheck.schematic.svg import MODULE_MM, Fit, Painted
from circuitcheck.schematic.title_block import WIDTH, Titles, block_size, title_block

SIZES = {"A4": (210.0, 297.0), "A3": (297.0, 420.0), "A2": (420.0, 594.0),
         "A1": (594.0, 841.0), "A0": (841.0, 1189.0)}  # fmt: skip
"""Width and height of trimmed sheets, upright [mm] (ISO 216)."""
OTHERS = {"letter": (215.9, 279.4), "tabloid": (279.4, 431.8)}
"""Sheets that are used where inches are [mm] (ANSI Y14.1, A and B, from memory)."""
REDUCED = 2.0
"""Least module at which letters and symbols still read well [mm] (ISO 1219-1, from memory)."""
_SMALL = ("A4", "letter")  # upright only; their grid stands above and at the right
_WORDS = ("landscape", "portrait", "fit", "short")
_EDGE, _FILING = 10.0, 20.0
"""Borders of the drawing space: 10 mm, at the left 20 mm for filing [mm]."""
_FIELD, _STRIP, _MARK, _LEAST = 50.0, 5.0, 10.0, 20.0
"""Length of a grid field, width of the grid's strip round the drawing space, length of a
centring mark from the strip's edge, least length of a field at the end of a side [mm]."""
_FRAME, _THIN = 0.7 / MODULE_MM, 0.35 / MODULE_MM
"""Widths of the frame and the centring marks, and of the grid [M]."""
_LETTERS = 3.5 / 0.72 / MODULE_MM  # font size of capitals 3.5 mm high [M]
_ROWS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # I and O are left out


@dataclass(frozen=True)
class Paper:
    """A sheet that a drawing is fitted to: name, size [mm], size of one module [mm].

    The drawing stands beside the title block, or above it where it is larger there.
    """

    name: str
    wide: float
    high: float
    module: float = MODULE_MM
    beside: bool = False

    @property
    def inside(self) -> Box:
        """Give the drawing space [mm]."""
        return _FILING, _EDGE, self.wide - _EDGE, self.high - _EDGE

    def grid(self) -> tuple[list[tuple[str, float, float]], list[tuple[str, float, float]]]:
        """Give columns and rows of the grid: name, beginning and end of each field [mm]."""
        x0, y0, x1, y1 = self.inside
        numbers = [str(k) for k in range(1, 99)]
        columns = list(_fields(x0, x1, self.wide / 2, numbers))
        return columns, list(_fields(y0, y1, self.high / 2, list(_ROWS)))

    def frame(self) -> tuple[Painted | Shape, ...]:
        """Draw frame, centring marks and grid [M]."""
        x0, y0, x1, y1 = self.inside
        whole = self.name not in _SMALL
        left, bottom = (x0 - _STRIP, y1 + _STRIP) if whole else (x0, y1)
        shapes: list[Painted | Shape] = [
            _thick(_rectangle(x0, y0, x1, y1)),
            _thin(_rectangle(left, y0 - _STRIP, x1 + _STRIP, bottom)),
        ]
        cx, cy = self.wide / 2, self.high / 2
        for a, b in (
            ((cx, y0 - _STRIP), (cx, y0 - _STRIP + _MARK)),
            ((cx, y1 + _STRIP), (cx, y1)),  # no farther: the title block stands there
            ((x0 - _STRIP, cy), (x0 - _STRIP + _MARK, cy)),
            ((x1 + _STRIP, cy), (x1 + _STRIP - _MARK, cy)),
        ):
            shapes.append(_thick(Line((_at(a), _at(b)))))
        columns, rows = self.grid()
        for name, low, high in columns:
            for y in (y0 - _STRIP, y1)[: 1 + whole]:
                if high < x1:
                    shapes.append(_thin(Line((_at((high, y)), _at((high, y + _STRIP))))))
                shapes.append(Text(_at(((low + high) / 2, y + _STRIP / 2)), name, _LETTERS))
        for name, low, high in rows:
            for x in (x1, x0 - _STRIP)[: 1 + whole]:
                if high < y1:
                    shapes.append(_thin(Line((_at((x, high)), _at((x + _STRIP, high))))))
                shapes.append(Text(_at((x + _STRIP / 2, (low + high) / 2)), name, _LETTERS))
        return tuple(shapes)


def paper_for(said: str, box: Box, titles: Titles) -> Paper:
    """Choose the sheet: ``said`` is such as "A3, landscape"; ``box`` what it must hold [M].

    Without a size the smallest sheet that holds it at full size is taken; without a direction
    the better one. A drawing too large for the sheet gets a smaller module.
    ValueError if there is no such size, or another word that says nothing of a sheet.
    """
    known = {**SIZES, **OTHERS}
    asked = re.findall(r"[^\s,]+", said)
    wanted = [w.upper() if w.upper() in SIZES else w for w in asked if w not in _WORDS]
    if any(word not in known for word in wanted) or len(wanted) > 1:
        raise ValueError(f"no sheet {' '.join(wanted)}; there are {', '.join(known)}")
    names = wanted or list(SIZES)
    block = block_size(on_paper(titles, Paper("A0", *SIZES["A0"])), WIDTH)
    found: list[Paper] = []
    for name in names:
        upright = known[name]
        ways = [upright[::-1], upright]
        if "landscape" in said:
            ways = ways[:1]
        elif "portrait" in said or name in _SMALL:
            ways = ways[1:]
        fitted = [_fitted(Paper(name, *way), box, block) for way in ways]
        found.append(max(fitted, key=lambda paper: paper.module))
        if found[-1].module >= MODULE_MM:
            break
    return max(found, key=lambda paper: paper.module)


def on_paper(titles: Titles, paper: Paper) -> Titles:
    """Give the title block of a sheet: with its size, its module and the fields left open."""
    if not any(name == "Sheet" for name, _ in titles.fields):
        titles = titles.with_field("Sheet", "1/1")
    titles = titles.for_paper().with_field("Sheet size", paper.name)
    return titles.with_field("Scale", "not to scale").with_field("Module", f"{paper.module:.2f} mm")


def fitted(paper: Paper, box: Box, titles: Titles) -> Fit:
    """Put a drawing on a sheet, its title block into the lower right corner."""
    _, _, x1, y1 = paper.inside
    titles = on_paper(titles, paper)
    block = block_size(titles, WIDTH)
    drawn, _ = title_block(titles, x1 / MODULE_MM, y1 / MODULE_MM - block[1], WIDTH)
    rx0, ry0, rx1, ry1 = _room(paper, block, beside=paper.beside)
    shift = (
        (rx0 + rx1 - (box[0] + box[2]) * paper.module) / 2,
        (ry0 + ry1 - (box[1] + box[3]) * paper.module) / 2,
    )
    return Fit(paper.wide, paper.high, paper.frame(), drawn, paper.module / MODULE_MM, shift)


def _room(paper: Paper, block: tuple[float, float], *, beside: bool) -> Box:
    """Give the room that a title block leaves for the drawing [mm]."""
    x0, y0, x1, y1 = paper.inside
    if beside:
        return x0, y0, x1 - block[0] * MODULE_MM, y1
    return x0, y0, x1, y1 - block[1] * MODULE_MM


def _fitted(paper: Paper, box: Box, block: tuple[float, float]) -> Paper:
    found = []
    for beside in (False, True):
        x0, y0, x1, y1 = _room(paper, block, beside=beside)
        most = min((x1 - x0) / (box[2] - box[0]), (y1 - y0) / (box[3] - box[1]))
        # whole twentieths of a millimetre: a module that can be named
        module = min(MODULE_MM, int(most * 20) / 20)
        found.append(Paper(paper.name, paper.wide, paper.high, module, beside))
    return max(found, key=lambda one: one.module)


def _fields(
    low: float, high: float, middle: float, names: list[str]
) -> Iterable[tuple[str, float, float]]:
    """Cut a side into fields of 50 mm, counted from the centring mark; ends take the rest."""
    cuts = [middle]
    while cuts[0] - _FIELD > low + _LEAST:
        cuts.insert(0, cuts[0] - _FIELD)
    while cuts[-1] + _FIELD < high - _LEAST:
        cuts.append(cuts[-1] + _FIELD)
    edges = [low, *cuts, high]
    yield from zip(names, edges, edges[1:], strict=False)


def field_at(paper: Paper, x: float, y: float) -> str:
    """Give the field of a sheet's grid in which a place [mm] lies, such as B3."""
    columns, rows = paper.grid()
    column = next((name for name, _, high in columns if x <= high), columns[-1][0])
    return next((name for name, _, high in rows if y <= high), rows[-1][0]) + column


def _at(place: Point) -> Point:
    return place[0] / MODULE_MM, place[1] / MODULE_MM


def _rectangle(x0: float, y0: float, x1: float, y1: float) -> Shape:
    return rectangle(*_at((x0, y0)), (x1 - x0) / MODULE_MM, (y1 - y0) / MODULE_MM)


def _thick(shape: Shape) -> Painted:
    return Painted(shape, width=_FRAME)


def _thin(shape: Shape) -> Painted:
    return Painted(shape, width=_THIN)
