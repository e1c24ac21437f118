"""Where something stands in a text."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Place:
    """A stretch of a text: lines and columns from 1, the end column after the last character."""

    file: str
    line: int
    column: int
    end_line: int
    end_column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


NOWHERE = Place("", 0, 0, 0, 0)
"""For parts made through the Python interface, which stand in no text."""
