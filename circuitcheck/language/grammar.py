"""The one parser, built from the grammar file when it is first needed."""

from __future__ import annotations

from copy import copy
from functools import cache
from typing import Any

from lark import Lark
from lark.common import LexerConf
from lark.lexer import ContextualLexer

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


class _Lexer(ContextualLexer):
    """Lexer of a grammar that is known to be sound (a test reads it strictly).

    Where a checker of patterns is installed, looking for collisions at every start would take
    longer than all the rest of a small check.
    """

    def __init__(self, conf: LexerConf, *rest: Any, **more: Any) -> None:
        sound = copy(conf)
        sound.skip_validation = True
        super().__init__(sound, *rest, **more)


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
        _plugins={"ContextualLexer": _Lexer},
    )
