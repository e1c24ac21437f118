"""The one parser, built from the grammar file when it is first needed."""

from __future__ import annotations

from functools import cache

from lark import Lark

from circuitcheck.basics.folders import folder
from circuitcheck.basics.quantities import unit_pattern

RULES = (
    "heading", "value", "every", "part", "line", "step", "claim", "trial", "accept", "hint",
    "entry",
)  # fmt: skip
"""What a sentence can be; each is a start of the grammar."""


def grammar_text() -> str:
    """Give the grammar with the spellings of the unit table put in."""
    text = (folder("grammar") / "circuit.lark").read_text(encoding="utf-8")
    return text.replace("UNITS_OF_THE_TABLE", unit_pattern())


@cache
def parser() -> Lark:
    """Give the parser; every rule of `RULES` may be asked of it as ``start``."""
    return Lark(
        grammar_text(),
        parser="lalr",
        lexer="contextual",
        start=list(RULES),
        propagate_positions=True,
        maybe_placeholders=False,
    )
