"""Where in a sentence somebody is writing: the chapter, the clause, the words before."""

from __future__ import annotations

import re
from dataclasses import dataclass

from circuitcheck.editing.outline import rows
from circuitcheck.editing.tokens import Piece, pieces
from circuitcheck.language.sentences import BLANK


@dataclass(frozen=True)
class Cursor:
    """The clause that is being written.

    ``first`` are the words of the sentence's first clause, ``clause`` those before the word
    that is being written, ``number`` counts clauses from 0; ``begun`` is that word so far and
    ``start`` its offset; places of pieces count from ``origin``. ``heading``: it is that of
    ``chapter``; ``inside`` is "block" or "variant" and ``holder`` the name of that one.
    """

    chapter: str
    heading: bool
    inside: str
    holder: str
    number: int
    first: tuple[Piece, ...]
    clause: tuple[Piece, ...]
    begun: str
    start: int
    origin: int

    @property
    def words(self) -> list[str]:
        """Texts of what stands in the clause before the word that is being written."""
        return [piece.text for piece in self.clause]

    @property
    def sorts(self) -> list[str]:
        return [piece.sort for piece in self.clause]


def cursor(source: str, offset: int) -> Cursor | None:
    """Give what is being written at an offset; None inside a comment.

    What stands behind the offset does not count.
    """
    before = source[:offset]
    line = before[before.rfind("\n") + 1 :]
    if re.search(r'^(?:[^"#]|"[^"]*")*#', line):
        return None
    found = list(rows(before))
    last = found[-1] if found else None
    behind = before[last.end :] if last else before
    goes_on = last is not None and (
        last.raw.extra_comma or (not behind.strip(BLANK) and "\n" not in behind)
    )
    start = last.start if goes_on and last else offset - len(line) + _indent(line)
    typed = re.sub(r'"[^"\n]*"|#[^\n]*', _blanked, before[start:])
    chapter, inside, holder = (last.chapter, last.inside, last.holder) if last else ("", "", "")
    if last is not None and last.heading and last.chapter in ("block", "variant"):
        inside, holder = last.chapter, _holder(last.raw.text)
    heading = bool(last and last.heading and goes_on)
    clauses: list[list[Piece]] = [[]]
    for piece in pieces(typed):
        if piece.sort == "mark" and piece.text == ",":
            clauses.append([])
        else:
            clauses[-1].append(piece)
    clause = clauses[-1]
    begun, at = "", len(typed)
    if clause and clause[-1].end == len(typed) and clause[-1].sort not in ("mark", "number"):
        begun, at = clause[-1].text, clause[-1].start
        clause = clause[:-1]
    return Cursor(
        "" if chapter == "end" and not heading else chapter, heading, inside, holder,
        len(clauses) - 1, tuple(clauses[0]), tuple(clause), begun, start + at, start,
    )  # fmt: skip


def _blanked(match: re.Match[str]) -> str:
    text = match.group()
    return text if text[0] == '"' else " " * len(text)


def _indent(text: str) -> int:
    return len(text) - len(text.lstrip(BLANK + "\n"))


def _holder(heading: str) -> str:
    words = re.split(r"[\s,:]+", heading)
    return words[1] if len(words) > 1 else ""
