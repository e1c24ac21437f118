"""The one parser, made from the grammar file when it is first needed, then kept.

Making it takes longer than all the rest of a small check; reading its tables does not.
"""

from __future__ import annotations

import io
import pickle
from copy import copy
from functools import cache
from typing import Any, NoReturn

import lark
from lark import Lark
from lark.common import LexerConf
from lark.lexer import ContextualLexer

from circuitcheck.basics.folders import folder
from circuitcheck.basics.kept import keep, kept
from circuitcheck.basics.quantities import unit_pattern

RULES = (
    "heading", "value", "every", "part", "line", "step", "claim", "trial", "accept", "hint",
    "entry",
)  # fmt: skip
"""What a sentence can be; each is a start of the grammar."""

KEPT = "parser.tables"


def grammar_text() -> str:
    """Give the grammar with the spellings of the unit table put in."""
    text = (folder("grammar") / "circuit.lark").read_text(encoding="utf-8")
    return text.replace("UNITS_OF_THE_TABLE", unit_pattern())


@cache
def parser() -> Lark:
    """Give the parser; every rule of `RULES` may be asked of it as ``start``."""
    text = grammar_text()
    key = f"lark {lark.__version__} {RULES} {text}"
    tables = kept(KEPT, key)
    if tables is not None and _plain(tables):
        return Lark.load(io.BytesIO(tables))
    made = made_from(text)
    keep(KEPT, key, tables_of(made))
    return made


def made_from(text: str) -> Lark:
    """Make the parser of a grammar."""
    return Lark(
        text,
        parser="lalr",
        lexer="contextual",
        start=list(RULES),
        propagate_positions=True,
        maybe_placeholders=False,
        _plugins={"ContextualLexer": _Lexer},
    )


def tables_of(made: Lark) -> bytes:
    """Give the tables of a parser as plain data; its lexer is looked for no collisions later."""
    file = io.BytesIO()
    made.save(file)
    tables = pickle.loads(file.getvalue())
    tables["data"]["options"]["_plugins"] = {}
    return pickle.dumps(tables)


class _Lexer(ContextualLexer):
    """Lexer of a grammar that is known to be sound (a test reads it strictly).

    Where a checker of patterns is installed, looking for collisions takes seconds.
    """

    def __init__(self, conf: LexerConf, *rest: Any, **more: Any) -> None:
        sound = copy(conf)
        sound.skip_validation = True
        super().__init__(sound, *rest, **more)


class _Plain(pickle.Unpickler):
    """Reads plain tables; whatever would run code is refused."""

    def find_class(self, module: str, name: str) -> NoReturn:
        raise pickle.UnpicklingError(f"{module}.{name} has no place in the tables of a parser")


def _plain(tables: bytes) -> bool:
    """Whether these are lists, dictionaries, texts and numbers, and nothing else."""
    try:
        _Plain(io.BytesIO(tables)).load()
    except pickle.UnpicklingError:
        return False
    return True
