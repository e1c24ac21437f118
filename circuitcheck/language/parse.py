"""Reads one sentence with the rule of its chapter, or says what is wrong with it."""

from __future__ import annotations

import re
from typing import Any

from lark import UnexpectedInput, UnexpectedToken

from circuitcheck.basics.findings import Finding
from circuitcheck.language.broken import Broken
from circuitcheck.language.faults import fault
from circuitcheck.language.grammar import parser
from circuitcheck.language.mistakes import explain
from circuitcheck.language.sentences import Lines, RawSentence
from circuitcheck.language.tree import TreeReader

DEEPEST_BRACKETS = 20


def parse(raw: RawSentence, rule: str, chapter: str, lines: Lines) -> tuple[Any, list[Finding]]:
    """Give what ``rule`` makes of a sentence (None if it is wrong), and what is wrong with it."""
    deep = _too_deep(raw, lines)
    if deep is not None:
        return None, [deep]
    try:
        tree = parser().parse(raw.text, start=rule)
    except UnexpectedInput as error:
        broken = Broken(raw, chapter, _stop(error, raw), _expected(error), lines)
        return None, [explain(broken)]
    reader = TreeReader(lines, raw.start)
    read = reader.transform(tree)
    return (None, reader.faults[:1]) if reader.faults else (read, [])


def _stop(error: UnexpectedInput, raw: RawSentence) -> int:
    """Offset at which reading stopped; the length of the sentence where it ended too early."""
    if isinstance(error, UnexpectedToken) and error.token.type == "$END":
        return len(raw.text)
    position = error.pos_in_stream
    return len(raw.text) if position is None else min(position, len(raw.text))


def _expected(error: UnexpectedInput) -> frozenset[str]:
    names = error.expected if isinstance(error, UnexpectedToken) else getattr(error, "allowed", ())
    return frozenset(names or ())


def _too_deep(raw: RawSentence, lines: Lines) -> Finding | None:
    depth = 0
    for match in re.finditer(r'"[^"\n]*"|[()]', raw.text):
        depth += {"(": 1, ")": -1}.get(match.group(), 0)
        if depth > DEEPEST_BRACKETS:
            at = raw.start + match.start()
            return fault(
                "brackets-too-deep",
                lines.place(at, at + 1),
                f"more than {DEEPEST_BRACKETS} brackets inside each other",
                "give a part of the sum a name under values",
            )
    return None
