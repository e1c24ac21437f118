"""The title block of a sheet: the fields of ISO 7200:2004 (names and choice from memory)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from circuitcheck.basics.shapes import Box, Line, Polygon, Shape, Text
from circuitcheck.schematic.fonts import text_width

Field = tuple[str, str]
"""A field's name and its text."""

FIELDS = {
    "owner": "Legal owner",
    "drawn": "Created by",
    "approved": "Approved by",
    "status": "Document status",
    "number": "Document number",
    "date": "Date of issue",
}
"""Word in the heading of a circuit -> field of the title block."""
_ALWAYS: tuple[Field, ...] = (("Document type", "Hydraulic circuit diagram"), ("Language", "en"))
"""What is the same for every sheet; written on paper only."""
_NEEDED = ("Legal owner", "Created by", "Approved by", "Document type", "Document number",
           "Issue", "Date of issue", "Sheet")  # fmt: skip
"""Fields that ISO 7200 asks for (from memory), and the issue: left open for a pen on a sheet."""
_ORDER = (*_NEEDED[:4], "Document status", *_NEEDED[4:7], "Language", "Sheet")
WIDTH = 72.0
"""Width of the block on a sheet of paper [M]: 180 mm (ISO 7200, from memory)."""

_LETTERS, _NAME = 1.4, 1.8
"""Font sizes of rows and fields, and of the title [M]: capitals at least 1 M high."""
_ROW, _TITLE_HIGH, _FIELD_HIGH = 2.4, 3.2, 4.0
_FEW = 2  # lines of fields without a width of paper
_PAD, _OPEN = 0.6, 9.0
"""Room left and right of a text; least width of a field left open for a pen [M]."""


@dataclass(frozen=True)
class Titles:
    """What stands in the title block: the title in bold, rows of text, fields with names."""

    title: str
    rows: tuple[str, ...] = ()
    fields: tuple[Field, ...] = ()

    def with_field(self, name: str, text: str) -> Titles:
        """Add a field, in the place of one of that name."""
        kept = [pair for pair in self.fields if pair[0] != name]
        return replace(self, fields=(*kept, (name, text)))

    def for_paper(self) -> Titles:
        """Give the block of a printed sheet: with every field that ISO 7200 asks for."""
        said = dict([*_ALWAYS, *self.fields])
        for name in _NEEDED:
            said.setdefault(name, "")
        listed = dict.fromkeys((*_ORDER, *said))
        return replace(self, fields=tuple((name, said[name]) for name in listed if name in said))


def title_fields(said: Mapping[str, str], issue: str) -> tuple[Field, ...]:
    """Give the fields of a circuit's heading in the order of the block, the empty ones left out."""
    texts = {FIELDS[word]: text for word, text in said.items()} | {"Issue": issue}
    return tuple((name, texts[name]) for name in _ORDER if texts.get(name))


def block_size(titles: Titles, width: float = 0.0) -> tuple[float, float]:
    """Give width and height of the title block [M]."""
    _, (x0, y0, x1, y1) = title_block(titles, 0.0, 0.0, width)
    return x1 - x0, y1 - y0


def title_block(
    titles: Titles, right: float, top: float, width: float = 0.0
) -> tuple[tuple[Shape, ...], Box]:
    """Draw the title block with its upper right corner at ``right``, ``top``.

    It is ``width`` wide; without it, as wide as its title, its rows and a few lines of
    fields need.
    """
    rows = [("", row) for row in titles.rows]
    need = text_width(titles.title, _NAME, bold=True) + 2 * _PAD
    wide = width or _width(titles, need)
    left = right - wide
    fitting = _NAME * min(1.0, (wide - 2 * _PAD) / (need - 2 * _PAD)) if titles.title else _NAME
    shapes: list[Shape] = [
        Text((left + _PAD, top + _TITLE_HIGH / 2), titles.title, fitting, "start", bold=True)
    ]
    y = top + _TITLE_HIGH
    for fields, high in ((rows, _ROW), (titles.fields, _FIELD_HIGH)):
        for line in _lines(fields, wide):
            shapes.append(Line(((left, y), (right, y))))
            shapes += _fields(line, left, right, y, high)
            y += high
    shapes.append(Polygon(((left, top), (right, top), (right, y), (left, y))))
    return tuple(shapes), (left, top, right, y)


def _width(titles: Titles, need: float) -> float:
    """Give the least width at which the fields take no more than a few lines."""
    width = max([need, *(_least(("", row)) for row in titles.rows), *map(_least, titles.fields)])
    while len(list(_lines(titles.fields, width))) > _FEW and width < WIDTH:
        width += 1.0
    return width


def _least(field: Field) -> float:
    name, text = field
    # the text of a field is bold, so that it is not taken for its name
    room = text_width(text, _LETTERS, bold=bool(name)) if text else _OPEN
    return max(text_width(name, _LETTERS), room) + 2 * _PAD


def _lines(fields: Sequence[Field], wide: float) -> Iterable[list[Field]]:
    """Fill lines with fields, in their order."""
    line: list[Field] = []
    for field in fields:
        if line and sum(map(_least, [*line, field])) > wide:
            yield line
            line = []
        line.append(field)
    if line:
        yield line


def _fields(
    line: list[Field], left: float, right: float, top: float, high: float
) -> Iterable[Shape]:
    """Draw fields side by side, each with an equal part of the room that is left over."""
    spare = (right - left - sum(map(_least, line))) / len(line)
    x = left
    for place, (name, text) in enumerate(line):
        if place:
            yield Line(((x, top), (x, top + high)))
        if name:
            yield Text((x + _PAD, top + 1.1), name, _LETTERS, "start")
        if text:
            room = _least((name, text)) + spare - 2 * _PAD
            bold = bool(name)
            size = _LETTERS * min(1.0, room / text_width(text, _LETTERS, bold=bold))
            yield Text((x + _PAD, top + high - _ROW / 2 + 0.1), text, size, "start", bold)
        x += _least((name, text)) + spare
