"""Tokens of a text: what each word is, whatever state the text is in."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.components import kinds
from circuitcheck.editing.tokens import CLASSES, by_line, tokens
from circuitcheck.editing.words import words
from tests.press_text import PRESS

FOLDER = Path(__file__).resolve().parent.parent.parent / "examples"


def classed(text: str) -> list[tuple[str, str]]:
    return [(token.kind, text[token.start : token.end]) for token in tokens(text)]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ('circuit "Press", issue C  # µ 😀', ["heading circuit", 'text "Press"', "mark ,",
                                              "keyword issue", "comment # µ 😀"]),
        ("parts\n  C1 and C2  cylinder, bore 80 mm",
         ["heading parts", "name C1", "keyword and", "name C2", "kind cylinder", "mark ,",
          "figure bore", "number 80", "unit mm"]),
        ("parts\n  V1  valve 4/3, tandem centre, at a P-A B-T",
         ["heading parts", "name V1", "kind valve", "number 4/3", "mark ,", "choice tandem centre",
          "mark ,", "keyword at", "choice a", "port P-A", "port B-T"]),
        ("lines\n  oil from V1 A through K1 to C1 rod, hose 1/2 in",
         ["heading lines", "name oil", "keyword from", "name V1", "port A", "keyword through",
          "name K1", "keyword to", "name C1", "port rod", "mark ,", "choice hose", "number 1/2",
          "unit in"]),
        ("cycle, repeats\n  step press, V1 at a, C1 load (pull)",
         ["heading cycle", "mark ,", "keyword repeats", "keyword step", "name press", "mark ,",
          "name V1", "keyword at", "choice a", "mark ,", "name C1", "figure load", "mark (",
          "name pull", "mark )"]),
        ("claims\n  C1 rod pressure 160 bar, at most, in press",
         ["heading claims", "name C1", "port rod", "figure pressure", "number 160", "unit bar",
          "mark ,", "keyword at most", "mark ,", "keyword in", "name press"]),
        ('accepted\n  idle_over_relief on R1, because "so"',
         ["heading accepted", "rule idle_over_relief", "keyword on", "name R1", "mark ,",
          "keyword because", 'text "so"']),
        ("units bar, L/min", ["heading units", "unit bar", "mark ,", "unit L/min"]),
        ("block a, flow ? L/min\n  ports P, T\nend block",
         ["heading block", "name a", "mark ,", "figure flow", "number ?", "unit L/min",
          "heading ports", "port P", "mark ,", "port T", "heading end", "heading block"]),
    ],
)  # fmt: skip
def test_words_have_the_class_that_their_place_gives_them(line: str, wanted: list[str]) -> None:
    assert [f"{kind} {text}" for kind, text in classed(line)] == wanted


@pytest.mark.parametrize("file", sorted(FOLDER.rglob("*.hyc")), ids=lambda file: file.stem)
def test_hardly_a_word_of_the_examples_is_without_a_class(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    shown = list(text)
    for token in tokens(text):
        shown[token.start : token.end] = " " * (token.end - token.start)
    left = "".join(shown).split()
    assert len(left) <= 0.02 * len(text.split()), left


@given(st.text(alphabet='abV1P, \n\t#"()-/ëµ😀.0:', max_size=120) | st.text(max_size=60))
def test_any_text_has_tokens_in_order_that_do_not_overlap(text: str) -> None:
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    end = 0
    for token in tokens(text):
        assert end <= token.start < token.end <= len(plain)
        assert token.kind in CLASSES
        end = token.end


def test_tokens_by_line_are_columns_and_ready_for_json() -> None:
    rows = json.loads(json.dumps(by_line(PRESS)))
    assert len(rows) == len(PRESS.split("\n"))
    assert rows[3] == [[2, 4, "name"], [6, 10, "kind"], [10, 11, "mark"], [12, 15, "number"],
                       [16, 17, "unit"]]  # fmt: skip


def test_the_words_by_class_hold_what_the_rooms_know() -> None:
    table = json.loads(json.dumps(words()))
    assert set(kinds()) == set(table["kinds"])
    assert {"parts", "cycle"} <= set(table["headings"])
    assert {"bore", "set"} <= set(table["figures"])
    assert {"tandem centre", "hose"} <= set(table["choices"])
    assert {"bar", "cu in/rev"} <= set(table["units"])
    assert {"load", "at end stop"} <= set(table["orders"])
    assert "relief-below-compensator" in table["rules"]
