"""The title block of a sheet: the fields of ISO 7200 (selection from memory)."""

from __future__ import annotations

from dataclasses import dataclass, replace

from circuitcheck.basics.shapes import Box, Line, Polygon, Shape, Text
from circuitcheck.schematic.fonts import text_width

_ROW = 2.4
_LETTERS, _NAME, _FIELD = 1.4, 1.8, 0.9
"""Font sizes of a row, of the title, of the name of a field [M]."""
_FIELDS_HIGH = 3.4


@dataclass(frozen=True)
class Titles:
    """What stands in the title block: rows of text, the first one in bold.

    ``fields`` are pairs of a field's name and its text, written side by side.
    """

    title: str
    rows: tuple[str, ...] = ()
    fields: tuple[tuple[str, str], ...] = ()

    def with_field(self, name: str, text: str) -> Titles:
        """Add a field, in the place of one of that name."""
        kept = [pair for pair in self.fields if pair[0] != name]
        return replace(self, fields=(*kept, (name, text)))


def block_size(titles: Titles) -> tuple[float, float]:
    """Give width and height of the title block [M]."""
    _, (x0, y0, x1, y1) = title_block(titles, 0.0, 0.0)
    return x1 - x0, y1 - y0


def title_block(titles: Titles, right: float, top: float) -> tuple[tuple[Shape, ...], Box]:
    """Draw the title block with its upper right corner at ``right``, ``top``."""
    rows = [(titles.title, _NAME, True), *((row, _LETTERS, False) for row in titles.rows)]
    widths = [text_width(text, size, bold=bold) for text, size, bold in rows]
    fields = [
        max(text_width(name, _FIELD), text_width(text, _LETTERS)) + 1.2
        for name, text in titles.fields
    ]
    width = max(*widths, sum(fields) - 2.0, 0.0) + 2.0
    left = right - width
    shapes: list[Shape] = []
    y = top
    for text, size, bold in rows:
        high = _ROW * size / _LETTERS
        shapes.append(Text((left + 1.0, y + high / 2), text, size, "start", bold))
        y += high
        shapes.append(Line(((left, y), (right, y))))
    if titles.fields:
        x, spare = left, (width - sum(fields)) / len(fields)
        for (name, text), wide in zip(titles.fields, fields, strict=True):
            shapes.append(Text((x + 0.6, y + 0.8), name, _FIELD, "start"))
            shapes.append(Text((x + 0.6, y + 2.2), text, _LETTERS, "start"))
            x += wide + spare
            shapes.append(Line(((x, y), (x, y + _FIELDS_HIGH))))
        y += _FIELDS_HIGH
    shapes = shapes[:-1]
    shapes.append(Polygon(((left, top), (right, top), (right, y), (left, y))))
    return tuple(shapes), (left, top, right, y)
