"""The language as a TextMate grammar, for editors that colour by patterns.

python -m circuitcheck.editing.textmate > shared/editors/vscode/circuit.tmLanguage.json
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterable, Mapping
from typing import Any

from circuitcheck.basics.quantities import unit_pattern
from circuitcheck.editing.tokens import CODE, JOINT, NUMBER, WORD
from circuitcheck.editing.words import KEYWORDS, words
from circuitcheck.language.chapters import FORMS

SCOPE = "source.hyc"
_HEADINGS = "|".join(sorted(FORMS, key=len, reverse=True))
_HEADING = rf"^[ \t]*({_HEADINGS})\b(?![ \t]+from\b|[\w-])"
_NAME = rf"(?:{CODE}|{WORD})"
_SCOPES = {
    "comment": "comment.line.number-sign", "text": "string.quoted.double",
    "heading": "keyword.control.chapter", "keyword": "keyword.other",
    "kind": "entity.name.type", "figure": "support.type.property-name",
    "choice": "constant.language", "name": "variable.other", "port": "entity.other.attribute-name",
    "number": "constant.numeric", "unit": "keyword.other.unit", "rule": "entity.name.function",
}  # fmt: skip
_FIRST: dict[str, list[tuple[str, tuple[str, ...]]]] = {
    "parts": [
        (r"^[ \t]*(CHOICES)(?![\w-])", ("choice",)),  # a sentence that is carried on
        (r"^[ \t]*(FIGURES)(?=[ \t]+[0-9(])", ("figure",)),
        (r"^[ \t]*(at)[ \t]+(\w+)", ("keyword", "choice")),
        (rf"^[ \t]*({_NAME}(?:[ \t]+and[ \t]+{_NAME})*)[ \t]+(KINDS)\b", ("name", "kind")),
        (rf"^[ \t]*({_NAME}(?:[ \t]+and[ \t]+{_NAME})*)[ \t]+({WORD})", ("name", "kind")),
        (rf"\b(driven by|with)[ \t]+({_NAME})", ("keyword", "name")),
    ],
    "defaults": [(r"^[ \t]*(every)[ \t]+(KINDS)\b", ("keyword", "kind"))],
    "lines": [
        (rf"^[ \t]*({_NAME})(?=[ \t]+from\b)", ("name",)),
        (
            rf"\b(from|to|through|and)[ \t]+({_NAME})(?:[ \t]+(?!(?:to|through|and)\b)(\w+))?",
            ("keyword", "name", "port"),
        ),
    ],
    "cycle": [
        (rf"^[ \t]*(step)[ \t]+({_NAME})", ("keyword", "name")),
        (rf",[ \t]*({_NAME})[ \t]+(at)[ \t]+(end stop|\w+)", ("name", "keyword", "choice")),
        (rf",[ \t]*({_NAME})(?=[ \t])", ("name",)),
    ],
    "claims": [
        (rf"^[ \t]*({_NAME})", ("name",)),
        (rf"\b(in)[ \t]+({_NAME})", ("keyword", "name")),
    ],
    "variations": [(rf"\b(vary|show|in)[ \t]+({_NAME})", ("keyword", "name"))],
    "accepted": [
        (rf"^[ \t]*({_NAME})", ("rule",)),
        (rf"\b(on|in)[ \t]+({_NAME})", ("keyword", "name")),
    ],
    "limits": [(rf"^[ \t]*({_NAME})", ("rule",))],
    "drawing": [(rf"^[ \t]*({_NAME})", ("name",))],
    "values": [(rf"^[ \t]*({_NAME})", ("name",))],
}  # fmt: skip
"""What stands first in the sentences of a chapter, and where names stand.

KINDS, CHOICES of several words and FIGURES are filled in.
"""

_FIRST |= {"readings": _FIRST["claims"], "tolerances": _FIRST["claims"]}


def grammar() -> dict[str, Any]:
    """Give the grammar, ready for JSON."""
    table = words()
    filled = {
        "KINDS": _any(table["kinds"]),
        "CHOICES": _any(phrase for phrase in table["choices"] if " " in phrase),
        "FIGURES": _any(table["figures"]),
    }
    chapters = [_chapter(word, filled) for word in FORMS]
    return {
        "name": "Hydraulic circuit",
        "scopeName": SCOPE,
        "fileTypes": ["hyc"],
        "patterns": [{"include": "#comment"}, *chapters, {"include": "#anywhere"}],
        "repository": {
            "comment": {"match": "#.*$", "name": _scope("comment")},
            "anywhere": {"patterns": _anywhere()},
        },
    }


def _scope(kind: str) -> str:
    return f"{_SCOPES[kind]}.hyc"


def _chapter(word: str, filled: Mapping[str, str]) -> dict[str, Any]:
    """Give the stretch from a heading to the next one."""
    own = [
        {
            "match": re.sub("|".join(filled), lambda mark: filled[mark.group()], pattern),
            "captures": {str(n): {"name": _scope(k)} for n, k in enumerate(groups, 1)},
        }
        for pattern, groups in _FIRST.get(word, ())
    ]
    keywords = _any(KEYWORDS.get(word, ()))
    if keywords:
        own.append({"match": rf"\b(?:{keywords})\b", "name": _scope("keyword")})
    begin = r"^[ \t]*(end)[ \t]+(block|variant)\b" if word == "end" else _HEADING.replace(
        _HEADINGS, word
    )  # fmt: skip
    heads = {"1": {"name": _scope("heading")}, "2": {"name": _scope("heading")}}
    return {
        "begin": begin,
        "beginCaptures": heads if word == "end" else {"1": heads["1"]},
        "end": rf"(?={_HEADING})",
        "patterns": [{"include": "#comment"}, *own, {"include": "#anywhere"}],
    }


def _anywhere() -> list[dict[str, Any]]:
    table = words()
    figures = _any({*table["figures"], *table["orders"], *table["measures"]})
    unit = unit_pattern()
    return [
        {"match": '"[^"\\n]*"?', "name": _scope("text")},
        {"match": rf"(?<![\w-]){JOINT}", "name": _scope("port")},
        {
            "match": rf"(?<![\w.])({NUMBER})(?:[ \t]*({unit}))?",
            "captures": {"1": {"name": _scope("number")}, "2": {"name": _scope("unit")}},
        },
        {"match": rf"\b(?:{_any(table['choices'])})(?![\w-])", "name": _scope("choice")},
        {"match": rf"\b(?:{figures})(?![\w-])", "name": _scope("figure")},
    ]


def _any(phrases: Iterable[str]) -> str:
    """Give a pattern for any of some phrases, the longest first."""
    found = sorted(phrases, key=lambda phrase: (-len(phrase), phrase))
    return "|".join(re.sub(r"\\? ", r"[ \\t]+", re.escape(phrase)) for phrase in found)


def text() -> str:
    """Give the grammar as the file that is kept."""
    return json.dumps(grammar(), indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    sys.stdout.write(text())
