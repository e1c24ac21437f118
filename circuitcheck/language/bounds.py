"""How long a text and what stands in it may be: what is longer is refused before it is read.

Nobody writes such texts; a slip of a program, or malice, does. All figures are own choice:
several times what the largest circuits of the tests have (50,000 parts).
"""

from __future__ import annotations

import re

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.places import Place
from circuitcheck.language.faults import fault

MOST_BYTES = 30_000_000
"""Of a circuit's file."""
MOST_LINES = 300_000
LONGEST_LINE = 20_000
LONGEST_TEXT = 2_000
LONGEST_WORD = 200
"""Characters of a line, of a text in quotes, of a word or figure."""

_LONG_LINE = re.compile(rf"^[^\n]{{{LONGEST_LINE + 1},}}", re.M)
_MAYBE = re.compile(
    rf'"[^"\n]{{{LONGEST_TEXT + 1}}}|(?<![^\s",()#])[^\s",()#]{{{LONGEST_WORD + 1}}}'
)
"""Whether it is worth to look at the pieces one by one; a long word may stand in a comment."""
_PIECES = re.compile(
    rf'(?P<text>"[^"\n]{{{LONGEST_TEXT + 1},}}")|"[^"\n]*"|#[^\n]*'
    rf'|(?P<word>[^\s",()#]{{{LONGEST_WORD + 1},}})|[^\s",()#]+'
)


def beyond(source: str, file: str) -> tuple[Finding, str] | None:
    """Give the first thing that is too long, and the source up to the end of its line."""
    count = source.count("\n") + 1
    if count > MOST_LINES:
        message = f"this text has {count} lines; more than {MOST_LINES} are not read"
        remedy = "cut the machine into several circuits"
        start = _nth_line(source, MOST_LINES)
        return _found(source, file, start, 1, message, remedy)
    line = _LONG_LINE.search(source)
    if line is not None:
        message = f"this line has {len(line.group())} characters; a line has {LONGEST_LINE} at most"
        remedy = "a comma at the end of a line goes on with the sentence on the next one"
        return _found(source, file, line.start(), 1, message, remedy)
    if not _MAYBE.search(source):
        return None
    for piece in _PIECES.finditer(source):
        if piece.lastgroup is not None:
            noun, most = ("text", LONGEST_TEXT) if piece["text"] else ("word", LONGEST_WORD)
            size = len(piece.group().strip('"'))
            message = f"this {noun} has {size} characters; a {noun} has {most} at most"
            width = len(piece.group())
            return _found(source, file, piece.start(), width, message, "write it shorter")
    return None


def _nth_line(source: str, number: int) -> int:
    start = 0
    for _ in range(number):
        start = source.index("\n", start) + 1
    return start


def _found(
    source: str, file: str, start: int, width: int, message: str, remedy: str
) -> tuple[Finding, str]:
    line = source.count("\n", 0, start) + 1
    column = start - source.rfind("\n", 0, start)
    end = source.find("\n", start)
    place = Place(file, line, column, line, column + width)
    return fault("too-long", place, message, remedy), source[: end if end >= 0 else len(source)]
