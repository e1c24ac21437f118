"""Hints for the drawing: they never change a result."""

from __future__ import annotations

import re
from collections.abc import Collection

from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.model import Hint, Unused
from circuitcheck.circuit.names import Names
from circuitcheck.language.text import Sentence, Text, Word

RELATIONS = ("above", "below", "left of", "right of", "between", "beside")
_NUMBERED = re.compile(r"(column|sheet) ([1-9][0-9]?)|(turned) (90|180|270) deg")
"""Hints that name no other part: the column of a branch, the sheet, a turn clockwise."""


def read_drawing(
    desk: Desk, text: Text, names: Names, known: Collection[str]
) -> tuple[str, list[Hint], list[Unused]]:
    """Give the sheet ("A3, landscape"), the hints, and what is not acted on yet."""
    sheet: list[str] = []
    hints: list[Hint] = []
    unused: list[Unused] = []
    for chapter in text.named("drawing"):
        for clause in chapter.about:
            if len(clause.items) == 1:
                sheet.append(clause.text)
            else:
                unused.append(Unused("drawing", clause.text, clause.place))
    for sentence in text.sentences("drawing"):
        hint = _hint(desk, sentence, names, known)
        if hint is not None:
            hints.append(hint)
        unused += [Unused("drawing", c.text, c.place) for c in sentence.clauses[1:]]
    return ", ".join(sheet), hints, unused


def _hint(desk: Desk, sentence: Sentence, names: Names, known: Collection[str]) -> Hint | None:
    subject, clause = sentence.names[0], sentence.clauses[0]
    numbered = _NUMBERED.fullmatch(clause.text)
    if numbered is not None:
        relation, said = (group for group in numbered.groups() if group)
        known_part = _known(desk, subject, names, known)
        return Hint(subject.text, relation, (said,), sentence.place) if known_part else None
    words = clause.words()
    relation = next((r for r in RELATIONS if words[: len(r.split())] == r.split()), "")
    if not relation:
        desk.error(
            "unknown-hint",
            clause.place,
            f"'{clause.text}' is no hint for the drawing",
            f"hints are: {', '.join(RELATIONS)}, column 2, sheet 2, turned 90 deg",
        )
        return None
    objects = [
        item
        for item in clause.items[len(relation.split()) :]
        if isinstance(item, Word) and item.text != "and"
    ]
    if not objects:
        message = f"{subject.text} {relation} what?"
        desk.error("unknown-hint", clause.place, message, f"write:  C1 {relation} V1")
        return None
    right = [_known(desk, word, names, known) for word in (subject, *objects)]
    if not all(right):
        return None
    return Hint(subject.text, relation, tuple(word.text for word in objects), sentence.place)


def _known(desk: Desk, word: Word, names: Names, known: Collection[str]) -> bool:
    if word.text in known:
        return True
    if not names.forgiven(word.text):
        desk.error(
            "unknown-part",
            word.place,
            f"there is no part {word.text}",
            desk.ask(word.text, known, "") or "hints speak of parts in the parts list",
        )
    return False
