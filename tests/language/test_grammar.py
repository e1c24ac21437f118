"""The grammar has no conflicts, and its terminals do not collide."""

from __future__ import annotations

from lark import Lark

from circuitcheck.language.grammar import RULES, grammar_text


def test_no_conflicts_and_no_colliding_terminals() -> None:
    Lark(
        grammar_text(),
        parser="lalr",
        lexer="contextual",
        start=list(RULES),
        maybe_placeholders=False,
        strict=True,
    )
