"""Sentences that are recalled read exactly as the grammar reads them."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.language import reader
from circuitcheck.language.repeats import Repeats
from circuitcheck.language.text import Text
from tests.scale.large import SHAPES

ROOT = Path(__file__).resolve().parent.parent.parent
TEXTS = sorted(path for folder in ("examples", "tests") for path in (ROOT / folder).rglob("*.hyc"))


def both(source: str) -> tuple[tuple[Text, object], tuple[Text, object]]:
    """Read a text with what is recalled, and without."""
    recalled = reader.read(source, "x.hyc")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Repeats, "recall", lambda *_: None)
        whole = reader.read(source, "x.hyc")
    return recalled, whole


def same(source: str) -> None:
    recalled, whole = both(source)
    assert recalled == whole
    assert repr(recalled) == repr(whole)  # places, too, and what equality leaves out


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.stem)
def test_circuits_of_the_project(path: Path) -> None:
    same(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("shape", SHAPES)
def test_large_circuits(shape: str) -> None:
    same(SHAPES[shape](200))


def test_most_of_a_large_circuit_is_recalled(monkeypatch: pytest.MonkeyPatch) -> None:
    read_whole = []
    real = reader.parse
    monkeypatch.setattr(
        reader, "parse", lambda raw, *rest: read_whole.append(raw.text) or real(raw, *rest)
    )
    reader.read(SHAPES["stations"](1100), "x.hyc")
    assert len(read_whole) < 40


NAMES = st.sampled_from(
    ["V1", "V22", "pump_3", "m2", "x2", "X3", "vary1", "to1", "S1/V2", "1V2", "A", "in2", "Q9.5",
     "V1-b", "mm2", "L1", "from2", "ft3", "Nm2", "show2", "Ø8", "V7/LS", "end1"]
)  # fmt: skip
PIECES = st.sampled_from(
    ["{0} relief", "{0} and {1} relief", "set 16 bar", "16 {0}", "16 {0} mm", "driven by {0}",
     "at a {0}-{1}", "({0} * {1})", "( {0} * {1} )", "({0}/{1})", "60 L/min at {0}", "7 {0} bar",
     "from {0} to {1}", "{0}  from {1} P to {0} S", "1,5 mm", '"{0}, {1}"', "3/4 {0}", "± {0}",
     "step {0}", "? {0}", "{0}", "every {0}", "vary {0} 3 bar", "{0} above {1}", "5 {0}/{1}"]
)  # fmt: skip
CLAUSES = st.builds(lambda piece, a, b: piece.format(a, b), PIECES, NAMES, NAMES)
SENTENCES = st.lists(CLAUSES, min_size=1, max_size=3).map(", ".join)
HEADINGS = st.sampled_from(["parts", "lines", "cycle", "claims", "values", "defaults", "drawing"])


@given(st.lists(st.tuples(HEADINGS, st.lists(SENTENCES, max_size=6)), max_size=3))
def test_whatever_stands_in_a_text(chapters: list[tuple[str, list[str]]]) -> None:
    rows = [row for heading, sentences in chapters for row in (heading, *sentences)]
    same("\n".join(rows))


@given(PIECES, st.lists(st.tuples(NAMES, NAMES), min_size=2, max_size=8), HEADINGS)
def test_one_piece_with_other_names(piece: str, names: list[tuple[str, str]], chapter: str) -> None:
    head = {"parts": "N{2} relief, ", "cycle": "step n{2}, "}.get(chapter, "")
    rows = [(head + piece).format(a, b, i) for i, (a, b) in enumerate(names)]
    same("\n".join([chapter, *rows]))
