"""Cuts a text into tokens with their class, for highlighting; a broken text, too."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Collection, Iterator
from functools import cache
from typing import NamedTuple

from circuitcheck.basics.quantities import unit_pattern
from circuitcheck.circuit.clauses import LINE
from circuitcheck.circuit.desk import LONGEST_PHRASE
from circuitcheck.components import kinds
from circuitcheck.editing.outline import HOLDERS, Row, rows
from circuitcheck.editing.words import KEYWORDS, letters, parameters, phrases, words
from circuitcheck.language.sentences import plain_newlines

CLASSES = (
    "comment", "text", "heading", "keyword", "kind", "figure", "choice", "name", "port", "number",
    "unit", "rule", "mark",
)  # fmt: skip
"""Classes of tokens; what none of them fits (a word that is not known) is no token."""

CODE = r"(?:[0-9]+-[HPCKLG][0-9]+\.[0-9]+|[0-9]+[AMPSVZ][0-9]+)(?![\w.])(?:/[^\W\d_]\w*|/[0-9]\w*)*"
JOINT = r"[A-Z][A-Z0-9]?(?:-[A-Z][A-Z0-9]?)+(?!\w)"
NUMBER = (
    r"[0-9]+[- ][0-9]+/[0-9]+(?!\w)|[0-9]+(?:\.[0-9]+)?[ \t]*[x×][ \t]*[0-9]+(?:\.[0-9]+)?"
    r"|[0-9]+-[0-9]+(?![\w./])|[0-9]+(?:\.[0-9]+)?[:/][0-9]+(?:\.[0-9]+)?"
    r"|[+-]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?|\?"
)
WORD = r"[^\W\d_]\w*(?:-[a-z][a-z0-9]*)*(?:\.[0-9]+)?(?:/[^\W\d_]\w*|/[0-9][\w.-]*)*"
"""Marks of the grammar, simplified where a highlighter need not tell right from wrong."""

_ENDS = ("from", "through", "to", "and")
_NAMES_FIRST = ("claims", "readings", "tolerances", "drawing", "accepted", "limits", "values")
_OF_SUBJECTS = ("claims", "readings")
_BEFORE_NAMES = ("in", "with", "on", "without", "vary", "show", "(")
_ALL_OF = {"units": "unit", "ports": "port", "end": "heading"}
"""What all the words behind a heading are."""


class Token(NamedTuple):
    """A token: its class, where it begins and ends in the text (offsets of characters)."""

    kind: str
    start: int
    end: int


class Piece(NamedTuple):
    """A mark, word, figure or text of a sentence, before it is told what it means.

    ``sort``: "text", "code", "joint", "number", "unit", "word" or "mark".
    """

    sort: str
    text: str
    start: int
    end: int


@cache
def _pattern() -> re.Pattern[str]:
    return re.compile(
        rf'(?P<text>"[^"\n]*"?)|(?P<code>{CODE})|(?P<joint>{JOINT})'
        rf"|(?P<number>{NUMBER})(?:[ \t]*(?P<unit>{unit_pattern()}))?"
        rf"|(?P<word>{WORD})|(?P<mark>±|\+/?-|[,()+*/-])"
    )


def tokens(source: str) -> list[Token]:
    """Give the tokens of a text in its order; line ends count as one character each.

    Nothing is checked: a text that is not understood has tokens as well.
    """
    text = plain_newlines(source)
    found = [*_comments(text)]
    for row in rows(text):
        found += _sentence(row)
    return sorted(found, key=lambda token: token.start)


def _comments(text: str) -> Iterator[Token]:
    for match in re.finditer(r'"[^"\n]*"|#[^\n]*', text):
        if match.group()[0] == "#":
            yield Token("comment", match.start(), match.end())


def _sentence(row: Row) -> Iterator[Token]:
    clauses: list[list[Piece]] = [[]]
    for piece in pieces(row.raw.text):
        if piece.sort == "mark" and piece.text == ",":
            clauses.append([])
        else:
            clauses[-1].append(piece)
        if piece.sort in ("text", "number", "unit", "mark"):
            yield Token(piece.sort, row.start + piece.start, row.start + piece.end)
    known = _Known(row)
    for number, clause in enumerate(clauses):
        for token in known.clause(number, clause):
            yield Token(token.kind, row.start + token.start, row.start + token.end)


def pieces(text: str) -> Iterator[Piece]:
    """Give the pieces of a sentence in their order."""
    for match in _pattern().finditer(text):
        sort = match.lastgroup or ""
        if sort == "unit":
            yield Piece("number", match["number"], *match.span("number"))
        yield Piece(sort, match[sort], *match.span(sort))


@cache
def _of_kind(word: str) -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
    """Give figures, choices and ports of a kind; without one, all that there are."""
    if not word:
        table = words()
        figures = frozenset(table["figures"] + table["orders"] + table["measures"])
        return figures, frozenset(table["choices"]), frozenset(table["ports"])
    kind = kinds()[word]
    figures = frozenset(parameter.name for parameter in parameters(kind))
    return figures, frozenset(phrases(kind)), frozenset(letters(kind))


class _Known:
    """What the words of one sentence can be, by its chapter and, once it is told, its kind."""

    def __init__(self, row: Row) -> None:
        self._row = row
        self._keywords = frozenset(KEYWORDS.get(row.chapter, ()))
        self._figures, self._choices, self._ports = _of_kind("")
        self._kinds = kinds()
        if row.heading:
            self._ports = frozenset()
        elif row.chapter == "lines":
            self._figures, self._choices, self._ports = _of_kind(LINE)

    def clause(self, number: int, pieces: list[Piece]) -> Iterator[Token]:
        """Give the tokens of the words of one clause."""
        at = 0
        if number == 0:
            for token in self._beginning(pieces):
                at += 1
                yield token
        while at < len(pieces):
            if pieces[at].sort == "joint":
                yield Token("port", pieces[at].start, pieces[at].end)
            if pieces[at].sort not in ("word", "code"):
                at += 1
                continue
            kind, count = self._word(number, pieces, at)
            if kind:
                yield Token(kind, pieces[at].start, pieces[at + count - 1].end)
            at += count

    def _beginning(self, pieces: list[Piece]) -> Iterator[Token]:
        """Give the first words of a sentence: its heading, or the names that it begins with."""
        chapter = self._row.chapter
        if not pieces:
            return
        first, last = pieces[0].start, pieces[0].end
        if self._row.heading:
            yield Token("heading", first, last)
        elif chapter in _NAMES_FIRST:
            yield Token("rule" if chapter in ("accepted", "limits") else "name", first, last)
        elif chapter == "parts":
            for before, piece in zip([None, *pieces], pieces, strict=False):
                if before is not None and "and" not in (before.text, piece.text):
                    return
                yield Token("keyword" if piece.text == "and" else "name", piece.start, piece.end)
        elif chapter == "lines" and pieces[0].text != "from":
            yield Token("name", first, last)
        elif chapter == "cycle" and pieces[0].text == "step":
            yield Token("keyword", first, last)
            if len(pieces) > 1 and pieces[1].sort in ("word", "code"):
                yield Token("name", pieces[1].start, pieces[1].end)

    def _word(self, number: int, pieces: list[Piece], at: int) -> tuple[str, int]:
        """Give the class of the words from one on, empty if unknown, and how many they are."""
        row, word = self._row, pieces[at].text
        before = pieces[at - 1].text if at else ""
        if row.heading and row.chapter in _ALL_OF:
            return _ALL_OF[row.chapter], 1
        if row.heading and row.chapter in HOLDERS:
            if row.chapter == "block":
                return ("figure" if number else "name"), 1
            return ("keyword" if word in self._keywords else "name"), 1
        if row.chapter in ("parts", "defaults") and number == 0 and not row.heading:
            count = _longest(pieces, at, self._kinds)
            if count:
                kind = " ".join(piece.text for piece in pieces[at : at + count])
                self._figures, self._choices, self._ports = _of_kind(kind)
                return "kind", count
            if row.chapter == "parts" and at:
                return "kind", 1  # a block, or one of one's own catalogue
        if row.chapter == "lines" and number == 0 and not row.heading:
            if word in _ENDS:
                return "keyword", 1
            return ("name" if pieces[at - 1].text in _ENDS else "port"), 1
        if row.chapter in ("cycle", "variations") and at == 0 and word not in self._keywords:
            return "name", 1
        if before in _BEFORE_NAMES or (before == "by" and at > 1):
            return "name", 1
        if before == "at" and row.chapter in ("cycle", "parts"):
            return "choice", 1
        if row.chapter in _OF_SUBJECTS and at == 1 and word in self._ports and len(pieces) > 2:
            return "port", 1
        count, _, kind = max(
            (_longest(pieces, at, known), -rank, kind)
            for rank, (kind, known) in enumerate(
                (("keyword", self._keywords), ("figure", self._figures),
                 ("choice", self._choices), ("port", self._ports))
            )
        )  # fmt: skip
        if count:
            return kind, count
        if row.chapter == "variations" and at == 1:
            return "name", 1
        return ("name" if row.chapter == "drawing" and not row.heading else ""), 1


def _longest(pieces: list[Piece], at: int, known: Collection[str]) -> int:
    """Give how many pieces the longest known phrase has that begins at one; 0 if none does."""
    for count in range(min(LONGEST_PHRASE, len(pieces) - at), 0, -1):
        if " ".join(piece.text for piece in pieces[at : at + count]) in known:
            return count
    return 0


def by_line(source: str) -> list[list[tuple[int, int, str]]]:
    """Give the tokens line by line as (first column, column behind, class), from 0; for JSON."""
    text = plain_newlines(source)
    starts = [0, *(match.end() for match in re.finditer("\n", text))]
    found: list[list[tuple[int, int, str]]] = [[] for _ in starts]
    for token in tokens(text):
        line = bisect_right(starts, token.start) - 1
        start = starts[line]
        found[line].append((token.start - start, token.end - start, token.kind))
    return found
