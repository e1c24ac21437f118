"""A text that is open in an editor: its places in the editor's count, and what it knows."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from pathlib import Path

from lsprotocol import types
from pygls import uris

from circuitcheck.basics.places import Place
from circuitcheck.editing.known import Known
from circuitcheck.language.sentences import Lines, plain_newlines

Encoding = types.PositionEncodingKind


def units(text: str, encoding: Encoding) -> int:
    """Count a text as an editor counts columns: µ is one unit of UTF-16, an emoji two."""
    if encoding is Encoding.Utf16:
        return len(text.encode("utf-16-le", "surrogatepass")) // 2
    return len(text.encode("utf-8", "surrogatepass")) if encoding is Encoding.Utf8 else len(text)


def letters(text: str, count: int, encoding: Encoding) -> int:
    """Give how many characters of a text make ``count`` units; never half a character."""
    used = 0
    for number, letter in enumerate(text):
        if used >= count:
            return number
        used += units(letter, encoding)
    return len(text)


class Document:
    """One version of an open text.

    Attributes
    ----------
    source : str
        The text with plain newlines
    file : str
        Its path; empty for a text that lies in no file
    encoding : PositionEncodingKind
        How the editor counts columns
    """

    def __init__(self, uri: str, version: int, text: str, encoding: Encoding) -> None:
        self.uri = uri
        self.version = version
        self.raw = text
        self.source = plain_newlines(text)
        self.file = path_of(uri)
        self.folder = Path(self.file).parent if self.file else None
        self.encoding = encoding
        self._lines = Lines(self.file, self.source)
        self._rows = self.source.split("\n")

    @cached_property
    def known(self) -> Known:
        """The text as read, with the files that it uses."""
        return Known.of(self.source, self.file, self.folder)

    def offset(self, position: types.Position) -> int:
        """Give the offset of a position; one behind the end of its line is that end."""
        starts = self._lines.starts
        if position.line >= len(starts):
            return len(self.source)
        row = self._rows[position.line]
        return starts[position.line] + letters(row, position.character, self.encoding)

    def at(self, position: types.Position) -> tuple[int, int]:
        """Give line and column from 1 of a position."""
        return self._lines.at(self.offset(position))

    def line_of(self, offset: int) -> tuple[int, int]:
        """Give line and column from 1 of an offset."""
        return self._lines.at(offset)

    def range(self, place: Place) -> types.Range:
        """Give the stretch of a place in this text."""
        return ranged(self._rows, place, self.encoding)

    def between(self, start: int, end: int) -> types.Range:
        """Give the stretch between two offsets."""
        return self.range(self._lines.place(start, end))

    @property
    def whole(self) -> types.Range:
        """The whole text."""
        return self.between(0, len(self.source))

    def location(self, place: Place) -> types.Location | None:
        """Give where a place is, in this text or in a file that it uses; None if nowhere."""
        if place.file == self.file and place.line:
            return types.Location(self.uri, self.range(place))
        text = self.known.text.used.get(place.file)
        if text is None:
            return None
        where = ranged(text.split("\n"), place, self.encoding)
        return types.Location(uri_of(place.file), where)


def ranged(rows: Sequence[str], place: Place, encoding: Encoding) -> types.Range:
    """Give the stretch of a place in a text, by its rows, in an editor's count."""

    def position(line: int, column: int) -> types.Position:
        number = min(max(line, 1), len(rows)) - 1
        return types.Position(number, units(rows[number][: max(column, 1) - 1], encoding))

    return types.Range(
        position(place.line, place.column), position(place.end_line, place.end_column)
    )


def path_of(uri: str) -> str:
    """Give the path of a file; empty for what lies in none (untitled)."""
    return (uris.to_fs_path(uri) or "") if uri.startswith("file:") else ""


def uri_of(path: str) -> str:
    """Give the address of a file."""
    return uris.from_fs_path(path) or ""
