"""Sentences like one read before: what stands in them is known, but for names and places.

In a large circuit the same clauses stand thousands of times. A sentence is cut at its commas;
a piece that differs from one that the grammar has read only in names such as V12 or push_3 is
not read again. Nothing is read here that the grammar has not read in the same words: whatever
could be read in another way, or wrongly, is left to it.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import read_unit
from circuitcheck.language import text
from circuitcheck.language.sentences import BLANK, Lines, RawSentence
from circuitcheck.language.text import Clause, Line, Sentence, Word

MOST_PIECES = 20_000
"""Pieces that are remembered, at most; own choice."""

_LEFT_TO_GRAMMAR = re.compile(r'"|[0-9],[0-9]')
"""Quotes and figures with a comma: there a comma may not part clauses."""

_NAME = re.compile(r"(?<!\S)[A-Za-z][A-Za-z_]*[0-9]\w*(?:/[A-Za-z][A-Za-z_]*[0-9]\w*)*(?!\S)", re.A)
_NO_NAME = re.compile(r"[xX][0-9]|vary|show")
"""Beginnings that may be another mark behind or before other words: 16 x2."""

_FIELDS = {
    kind: tuple(field.name for field in fields(kind))
    for kind in vars(text).values()
    if isinstance(kind, type) and is_dataclass(kind)
}


@dataclass(frozen=True)
class Piece:
    """What stands between two commas: its words with the names left out, the names, its place.

    ``ends`` are where the names end in ``plain``; ``row`` and ``column`` count from 1.
    """

    key: tuple[str, str]
    plain: str
    names: tuple[str, ...]
    ends: tuple[int, ...]
    row: int
    column: int


@dataclass(frozen=True)
class _At:
    """Where a piece is cast again: ``shifts`` by how many names stand before a mark."""

    file: str
    piece: Piece
    shifts: tuple[int, ...]


Mould = Callable[[_At], Any]


@dataclass(frozen=True)
class _Known:
    """A piece that was read: how its record is cast, and where its names ended then."""

    cast: Mould
    ends: tuple[int, ...]


class Repeats:
    """Remembers the pieces of the sentences of one text."""

    def __init__(self, lines: Lines) -> None:
        self._lines = lines
        self._known: dict[tuple[str, str], _Known | None] = {}

    def pieces(self, raw: RawSentence, rule: str) -> list[Piece]:
        """Cut a sentence at its commas; nothing is given where only the grammar can."""
        if raw.extra_comma or _LEFT_TO_GRAMMAR.search(raw.text):
            return []
        found = []
        at = raw.start
        for i, part in enumerate(raw.text.split(",")):
            plain = part.strip(BLANK + "\n")
            if not plain or "\n" in plain:
                return []
            start = at + len(part) - len(part.lstrip(BLANK + "\n"))
            found.append(self._piece(plain, start, rule if i == 0 else ""))
            at += len(part) + 1
        return found

    def _piece(self, plain: str, start: int, rule: str) -> Piece:
        names: list[str] = []
        ends: list[int] = []

        def blank(match: re.Match[str]) -> str:
            name = match.group()
            if _NO_NAME.match(name) or read_unit(name) is not None:
                return name
            names.append(sys.intern(name))
            ends.append(match.end())
            return "\0"

        # inside brackets a slash divides
        words = plain if "(" in plain else _NAME.sub(blank, plain)
        row, column = self._lines.at(start)
        return Piece((rule, words), plain, tuple(names), tuple(ends), row, column)

    def recall(self, raw: RawSentence, pieces: list[Piece]) -> Sentence | Line | None:
        """Give the sentence if all its pieces are known."""
        moulds = [self._known.get(piece.key) for piece in pieces]
        cast = []
        for piece, known in zip(pieces, moulds, strict=True):
            if known is None:
                return None
            shifts = (0, *(now - then for now, then in zip(piece.ends, known.ends, strict=True)))
            cast.append(known.cast(_At(self._lines.file, piece, shifts)))
        if not cast:
            return None
        head, *clauses = cast
        end = raw.start + len(raw.text)
        whole: Sentence | Line = replace(
            head,
            clauses=(*head.clauses, *clauses),
            text=self._lines.source[raw.start : end],
            place=self._lines.place(raw.start, end),
        )
        return whole

    def learn(self, pieces: list[Piece], read: Sentence | Line) -> None:
        """Remember the pieces of a sentence that the grammar has read."""
        if not pieces or len(self._known) > MOST_PIECES:
            return
        own = len(read.clauses) - len(pieces) + 1
        if own not in (0, 1):
            return
        records = [replace(read, clauses=read.clauses[:own]), *read.clauses[own:]]
        for piece, record in zip(pieces, records, strict=True):
            if piece.key not in self._known:
                self._known[piece.key] = _Caster(piece).known(record)


class _Caster:
    """Makes the mould of one piece."""

    def __init__(self, piece: Piece) -> None:
        self._piece = piece
        self._missing = set(range(len(piece.names)))

    def known(self, record: Sentence | Line | Clause) -> _Known | None:
        """Give the mould; None where a name did not become a word of its own."""
        if not isinstance(record, Clause):  # text and place are those of the new sentence
            record = replace(record, text="", place=Place("", 0, 0, 0, 0))
        try:
            cast = self._mould(record)
        except ValueError:
            return None
        return None if self._missing else _Known(cast, self._piece.ends)

    def _mould(self, node: Any) -> Mould:
        kind = type(node)
        if kind is Place:
            return self._place(node)
        if kind is Word:
            return self._word(node)
        if kind is Clause and self._piece.names:
            return self._clause(node)
        if kind is tuple:
            parts = [self._mould(one) for one in node]
            if not parts:
                return lambda _at: ()
            return lambda at: tuple([part(at) for part in parts])
        if kind not in _FIELDS:
            return lambda _at: node
        values = [self._mould(getattr(node, name)) for name in _FIELDS[kind]]
        return lambda at: kind(*[value(at) for value in values])

    def _place(self, place: Place) -> Mould:
        if not place.line:
            return lambda _at: place
        first, last = (
            self._offset(place.line, place.column),
            self._offset(place.end_line, place.end_column),
        )
        before, within = self._names_before(first), self._names_before(last)

        def cast(at: _At) -> Place:
            piece, shifts = at.piece, at.shifts
            return Place(
                at.file,
                piece.row,
                piece.column + first + shifts[before],
                piece.row,
                piece.column + last + shifts[within],
            )

        return cast

    def _offset(self, row: int, column: int) -> int:
        """Offset in the piece; ValueError where a place lies outside of it."""
        offset = column - self._piece.column
        if row != self._piece.row or not 0 <= offset <= len(self._piece.plain):
            raise ValueError("a place outside its piece")
        return offset

    def _names_before(self, offset: int) -> int:
        return sum(end <= offset for end in self._piece.ends)

    def _word(self, word: Word) -> Mould:
        place = self._place(word.place)
        end = self._offset(word.place.end_line, word.place.end_column)
        if end not in self._piece.ends:
            return lambda at: Word(word.text, place(at))
        number = self._piece.ends.index(end)
        if self._piece.names[number] != word.text:
            raise ValueError("a name that is no word of its own")
        self._missing.discard(number)
        return lambda at: Word(at.piece.names[number], place(at))

    def _clause(self, clause: Clause) -> Mould:
        items, place = self._mould(clause.items), self._place(clause.place)

        def cast(at: _At) -> Clause:
            where = place(at)
            column = at.piece.column
            words = at.piece.plain[where.column - column : where.end_column - column]
            return Clause(items(at), " ".join(words.split()), where)

        return cast
