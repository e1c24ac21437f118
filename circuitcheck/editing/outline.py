"""The sentences of a text with the chapters they stand in, be the text right or wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from circuitcheck.language.chapters import FORMS, begins_anew, first_word, names_a_line
from circuitcheck.language.sentences import RawSentence, cut

HOLDERS = ("block", "variant")
"""Headings of what holds chapters of its own."""


@dataclass(frozen=True, slots=True)
class Row:
    """A sentence as it stands.

    ``chapter`` is the word of the heading above it, or its own if it is a ``heading``; empty
    under no heading. ``inside`` says in what it stands, "block", "variant" or nothing, and
    ``holder`` the name of that.
    """

    raw: RawSentence
    chapter: str
    heading: bool
    inside: str
    holder: str

    @property
    def start(self) -> int:
        return self.raw.start

    @property
    def end(self) -> int:
        return self.raw.start + len(self.raw.text)


def rows(source: str) -> Iterator[Row]:
    """Give every sentence of a text whose line ends are plain newlines, one by one."""
    outline = _Outline()
    for raw in cut(source, outline.begins_anew):
        yield outline.row(raw)


class _Outline:
    """Where the reading of a text stands."""

    def __init__(self) -> None:
        self._chapter = self._inside = self._holder = ""

    def begins_anew(self, line: str) -> bool:
        return begins_anew(line, self._chapter)

    def row(self, raw: RawSentence) -> Row:
        """Give the next sentence with where it stands."""
        word = first_word(raw.text)
        heading = (
            word in FORMS
            and not names_a_line(raw.text, self._chapter)
            and (word != "ports" or bool(self._inside))
        )
        if not heading:
            return Row(raw, self._chapter, False, self._inside, self._holder)
        self._chapter = "" if word == "end" else word
        if word in HOLDERS or word == "end":
            name = first_word(raw.text[len(word) :].lstrip(" \t:"))
            self._inside, self._holder = (word, name) if word in HOLDERS else ("", "")
            return Row(raw, word, True, "", "")
        return Row(raw, word, True, self._inside, self._holder)
