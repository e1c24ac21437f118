"""Colours for circuit texts in documents: a lexer for Pygments, which finds it by itself."""

from __future__ import annotations

from collections.abc import Iterator

from pygments.lexer import Lexer
from pygments.token import (
    Comment,
    Keyword,
    Name,
    Number,
    Operator,
    String,
    Text,
    _TokenType,
)

from circuitcheck.editing.tokens import tokens

OF_CLASS: dict[str, _TokenType] = {
    "comment": Comment.Single,
    "text": String.Double,
    "heading": Keyword.Declaration,
    "keyword": Keyword,
    "kind": Name.Class,
    "figure": Name.Attribute,
    "choice": Name.Constant,
    "name": Name.Variable,
    "port": Name.Property,
    "number": Number,
    "unit": Keyword.Type,
    "rule": Name.Label,
    "mark": Operator,
}
"""Pygments' classes by ours."""


class CircuitLexer(Lexer):  # type: ignore[misc]  # pygments has no types
    """Hydraulic circuit texts."""

    name = "Hydraulic circuit"
    aliases = ("hyc",)
    filenames = ("*.hyc",)

    def get_tokens_unprocessed(self, text: str) -> Iterator[tuple[int, _TokenType, str]]:
        """Give offset, class and text of every piece, blanks and unknown words included."""
        at = 0
        for kind, start, end in tokens(text):
            if at < start:
                yield at, Text, text[at:start]
            yield start, OF_CLASS[kind], text[start:end]
            at = end
        if at < len(text):
            yield at, Text, text[at:]
