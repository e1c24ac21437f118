"""The lexer for Pygments and the TextMate grammar, made from the same words."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from pygments import highlight
from pygments.formatters import HtmlFormatter
from pygments.lexers import get_lexer_by_name

from circuitcheck.editing import textmate
from circuitcheck.editing.pygments_lexer import OF_CLASS, CircuitLexer
from circuitcheck.editing.tokens import CLASSES
from circuitcheck.language.chapters import FORMS
from tests.press_text import PRESS

EDITORS = Path(__file__).resolve().parent.parent.parent / "shared" / "editors"
GRAMMAR = textmate.grammar()


def test_the_lexer_gives_back_the_whole_text() -> None:
    text = PRESS + "\n# µ ° 😀\n  unknown $ marks\n"
    lexer = CircuitLexer(stripnl=False)
    assert "".join(piece for _, piece in lexer.get_tokens(text)) == text
    assert set(OF_CLASS) == set(CLASSES)


def test_a_circuit_in_colours() -> None:
    html = highlight(PRESS, CircuitLexer(), HtmlFormatter())
    assert '<span class="nc">cylinder</span>' in html
    assert '<span class="nv">C1</span>' in html
    assert '<span class="mi">' not in html


def test_pygments_finds_the_lexer_where_the_package_is_installed() -> None:
    from importlib.metadata import PackageNotFoundError, version

    try:
        version("circuitcheck")
    except PackageNotFoundError:
        pytest.skip("circuitcheck is run from its folder, not installed")
    assert get_lexer_by_name("hyc").name == "Hydraulic circuit"


def test_the_grammar_that_is_shipped_is_the_one_of_today() -> None:
    file = EDITORS / "vscode" / "circuit.tmLanguage.json"
    assert file.read_text(encoding="utf-8") == textmate.text(), (
        "make it anew: python -m circuitcheck.editing.textmate > "
        "shared/editors/vscode/circuit.tmLanguage.json"
    )


def _patterns(node: Any) -> list[str]:
    if isinstance(node, list):
        return [pattern for one in node for pattern in _patterns(one)]
    if not isinstance(node, dict):
        return []
    own = [node[key] for key in ("match", "begin", "end") if isinstance(node.get(key), str)]
    return own + [pattern for one in node.values() for pattern in _patterns(one)]


def test_every_pattern_of_the_grammar_can_be_read() -> None:
    patterns = _patterns(GRAMMAR)
    assert len(patterns) > 2 * len(FORMS)
    for pattern in patterns:
        re.compile(pattern)


def scopes(chapter: str, line: str) -> dict[str, str]:
    """Colour a line as an editor would: the first pattern that fits soonest wins."""
    begun = next(p for p in GRAMMAR["patterns"] if re.match(p.get("begin", "$^"), chapter))
    rules = [p for p in begun["patterns"] if "match" in p]
    rules = [
        GRAMMAR["repository"]["comment"],
        *rules,
        *GRAMMAR["repository"]["anywhere"]["patterns"],
    ]
    found, at = {}, 0
    while at < len(line):
        hits = [(m.start(), n, m) for n, p in enumerate(rules)
                if (m := re.compile(p["match"]).search(line, at)) and m.group()]  # fmt: skip
        if not hits:
            break
        _, number, match = min(hits[:], key=lambda hit: hit[:2])
        rule = rules[number]
        if "name" in rule:
            found[match.group()] = rule["name"]
        for group, scope in rule.get("captures", {}).items():
            if match.group(int(group)):
                found[match.group(int(group))] = scope["name"]
        at = match.end()
    return {text: scope.removesuffix(".hyc") for text, scope in found.items()}


@pytest.mark.parametrize(
    ("chapter", "line", "wanted"),
    [
        ("parts", "  C1 and C2  cylinder, bore 80 mm, at rest P-A # why", {
            "C1 and C2": "variable.other", "cylinder": "entity.name.type",
            "bore": "support.type.property-name", "80": "constant.numeric",
            "mm": "keyword.other.unit", "P-A": "entity.other.attribute-name",
            "# why": "comment.line.number-sign"}),
        ("parts", "      torque limit 190 Nm, free-flow check", {
            "torque limit": "support.type.property-name", "free-flow check": "constant.language"}),
        ("lines", "  push  from V1 A through K1 to C1 cap, hose 1/2 in", {
            "push": "variable.other", "from": "keyword.other", "V1": "variable.other",
            "A": "entity.other.attribute-name", "K1": "variable.other",
            "cap": "entity.other.attribute-name", "hose": "constant.language",
            "1/2": "constant.numeric"}),
        ("cycle", "  step press, V1 at a, C1 load 5 kN", {
            "press": "variable.other", "a": "constant.language",
            "load": "support.type.property-name"}),
        ("claims", "  C1 speed 45 mm/s, in press", {"C1": "variable.other", "in": "keyword.other"}),
    ],
)  # fmt: skip
def test_the_patterns_colour_a_sentence(chapter: str, line: str, wanted: dict[str, str]) -> None:
    found = scopes(chapter, line)
    assert {text: found.get(text) for text in wanted} == wanted


def test_a_line_that_is_called_like_a_heading_begins_no_chapter() -> None:
    heads = [p["begin"] for p in GRAMMAR["patterns"] if "begin" in p]
    assert any(re.match(head, "oil ISO VG 46") for head in heads)
    assert not any(re.match(head, "  oil  from V1 A to C1 cap") for head in heads)
    assert not any(re.match(head, "  parts-list tank") for head in heads)


def test_the_extension_names_files_that_are_there() -> None:
    folder = EDITORS / "vscode"
    package = json.loads((folder / "package.json").read_text(encoding="utf-8"))
    (language,) = package["contributes"]["languages"]
    (grammar,) = package["contributes"]["grammars"]
    assert grammar["scopeName"] == GRAMMAR["scopeName"]
    for name in (package["main"], language["configuration"], grammar["path"]):
        assert (folder / name).is_file()
    configuration = json.loads((folder / language["configuration"]).read_text(encoding="utf-8"))
    rules = configuration["indentationRules"]
    assert re.match(rules["increaseIndentPattern"], "cycle, repeats")
    assert not re.match(rules["increaseIndentPattern"], "  lines from V1 A to C1 cap")
    assert re.match(rules["decreaseIndentPattern"], "end block")
