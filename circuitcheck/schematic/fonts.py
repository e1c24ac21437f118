"""How wide a text is, from the widths of its characters."""

from __future__ import annotations

import tomllib
from functools import cache

from circuitcheck.basics.folders import folder
from circuitcheck.basics.shapes import Box, Text

FAMILY = "Helvetica, Arial, 'Liberation Sans', sans-serif"
LINE_PITCH = 1.25
"""Distance of text lines, as a multiple of the font size."""
_ASCENT, _DESCENT = 0.55, 0.5
"""Reach of a line of text above and below the middle of its height, of the font size."""


@cache
def _widths() -> dict[str, dict[str, int]]:
    with (folder("shared") / "symbols" / "text_widths.toml").open("rb") as file:
        return tomllib.load(file)


def text_width(content: str, size: float, *, bold: bool = False) -> float:
    """Give the width of a line of text [M] in the font size [M]."""
    table = _widths()["bold" if bold else "regular"]
    return size * sum(table.get(char, table["M"]) for char in content) / 1000.0


def text_box(text: Text) -> Box:
    """Give the room that a text takes [M]."""
    width = text_width(text.content, text.size, bold=text.bold)
    x, y = text.at
    left = {"start": x, "middle": x - width / 2, "end": x - width}[text.anchor]
    return left, y - _ASCENT * text.size, left + width, y + _DESCENT * text.size
