"""The reference of all kinds of part as one page in Markdown, made from the dictionary."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from circuitcheck.components._parts import Kind
from circuitcheck.reports.kind_text import Listing, Piece, kind_pieces
from circuitcheck.reports.tables import Table

COMMAND = "python -m circuitcheck explain components --format markdown"
"""Makes the page anew."""


def reference_page(kinds: Mapping[str, Kind]) -> str:
    """Give the page of all kinds, in the order of the alphabet."""
    every = sorted({kind.word: kind for kind in kinds.values()}.values(), key=lambda k: k.word)
    return "\n".join(_lines(every)) + "\n"


def _lines(kinds: list[Kind]) -> Iterator[str]:
    yield "# Kinds of part"
    yield ""
    yield f"Made from the program by `{COMMAND}`; do not edit."
    yield ""
    yield ", ".join(f"[{kind.word}](#{_anchor(kind.word)})" for kind in kinds)
    for kind in kinds:
        yield ""
        yield f"## {kind.word}"
        for piece in kind_pieces(kind):
            yield ""
            yield from _piece(piece)


def _piece(piece: Piece) -> Iterator[str]:
    if isinstance(piece, Listing):
        yield f"**{piece.heading}**"
        yield ""
        yield from (f"- {plain(said)}" for said in piece.rows)
    elif isinstance(piece, Table):
        yield f"**{piece.caption}**"
        yield ""
        yield _cells(column.head for column in piece.columns)
        yield row("---" for _ in piece.columns)
        yield from map(_cells, piece.rows)
        for note in piece.notes:
            yield ""
            yield plain(note)
    else:
        yield plain(piece)


def _cells(cells: Iterable[str]) -> str:
    return row(plain(cell.strip()) for cell in cells)


def row(cells: Iterable[str]) -> str:
    """Give the row of a table; the cells are Markdown."""
    return f"| {' | '.join(cells)} |"


def plain(text: str) -> str:
    """Keep marks that mean something in Markdown from doing so."""
    for mark in "\\|*_<>":
        text = text.replace(mark, f"\\{mark}")
    return text


def _anchor(word: str) -> str:
    return word.replace(" ", "-").lower()
