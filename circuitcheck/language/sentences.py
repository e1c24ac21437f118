"""Cuts a text into sentences: comments blanked, lines that a comma carries on put together."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from circuitcheck.basics.places import Place

BLANK = " \t\f\v\xa0"


class Lines:
    """Turns offsets into a text into places; columns count characters from 1."""

    def __init__(self, file: str, source: str) -> None:
        self.file = file
        self.source = source
        self.starts = [0, *(match.end() for match in re.finditer("\n", source))]

    def place(self, start: int, end: int) -> Place:
        """Give the place of the characters from ``start`` up to but not with ``end``."""
        (line, column), (end_line, end_column) = self.at(start), self.at(end)
        return Place(self.file, line, column, end_line, end_column)

    def at(self, offset: int) -> tuple[int, int]:
        """Give line and column of an offset."""
        row = bisect_right(self.starts, offset) - 1
        return row + 1, offset - self.starts[row] + 1


@dataclass(frozen=True, slots=True)
class RawSentence:
    """A sentence as it stands, from its first word on; ``start`` is its offset in the text.

    ``extra_comma``: the comma at its end carried nothing on. ``column`` counts from 1.
    """

    text: str
    start: int
    column: int
    extra_comma: bool = False


def plain_newlines(text: str) -> str:
    """Give ``text`` with every line end as one newline, without a byte order mark."""
    return text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")


def cut(source: str, begins_anew: Callable[[str], bool]) -> Iterator[RawSentence]:
    """Give the sentences of ``source`` one by one.

    ``begins_anew`` is asked of a line onto which a comma carries a sentence; where it says
    that the line is plainly the beginning of the next one, the sentence ends before it.
    """
    start, lines = -1, list[str]()
    offset = 0
    for line in source.split("\n"):
        content = _without_comment(line)
        if content.strip(BLANK):
            if lines and begins_anew(content):
                yield _sentence(start, lines, extra_comma=True)
                lines = []
            if not lines:
                start = offset
        if lines or content.strip(BLANK):
            lines.append(content)
            if content.strip(BLANK) and not content.rstrip(BLANK).endswith(","):
                yield _sentence(start, lines)
                lines = []
        offset += len(line) + 1
    if lines:
        yield _sentence(start, lines, extra_comma=True)


def _sentence(start: int, lines: list[str], extra_comma: bool = False) -> RawSentence:
    whole = "\n".join(lines)
    text = whole.lstrip(BLANK + "\n")
    indent = len(whole) - len(text)
    text = text.rstrip(BLANK + "\n")
    return RawSentence(text, start + indent, indent + 1, extra_comma)


def _without_comment(line: str) -> str:
    """Blank a comment with spaces, so that places stay; a # in a text is none."""
    for match in re.finditer(r'"[^"]*"|#', line):
        if match.group() == "#":
            return line[: match.start()] + " " * (len(line) - match.start())
    return line
