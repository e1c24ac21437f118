"""The parser that is kept from one start to the next is the one the grammar makes."""

from __future__ import annotations

import pickle
from collections.abc import Iterator
from pathlib import Path

import pytest

from circuitcheck.basics.kept import kept
from circuitcheck.language import grammar, read

SENTENCES = {
    "part": "T1  tank, 120 L, least 80 L, ambient 20 degC, breather",
    "line": "suction from T1 to P1 S, hose 25 mm, 0.5 m",
    "step": "step up, V1 at a, 3 s, C1 weight (2 * (platform + bales))",
    "claim": "C1 cap pressure 72 bar, in hold, within 3 bar",
}


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A cache folder of its own, and a parser not yet made."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    grammar.parser.cache_clear()
    yield tmp_path / "circuitcheck"
    grammar.parser.cache_clear()


def _never(text: str) -> None:
    raise AssertionError("the parser was made anew")


def test_second_start_reads_the_tables(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = grammar.parser()
    assert [path.name for path in place.iterdir()] == [grammar.KEPT]
    grammar.parser.cache_clear()
    monkeypatch.setattr(grammar, "made_from", _never)
    loaded = grammar.parser()
    assert loaded is not made
    for rule, text in SENTENCES.items():
        assert loaded.parse(text, start=rule) == made.parse(text, start=rule)


def test_places_of_mistakes_are_the_same(place: Path) -> None:
    text = 'circuit "x"\nparts\n  T1 tank, 60 )\n  P1 pump; fixed\n'
    first = read(text)[1]
    grammar.parser.cache_clear()
    assert read(text)[1] == first
    assert [one.place.line for one in first] == [3, 4]


@pytest.mark.parametrize("spoil", [b"", b"not a table", None])
def test_a_spoilt_file_counts_as_absent(
    place: Path, spoil: bytes | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    grammar.parser()
    file = place / grammar.KEPT
    whole = file.read_bytes()
    file.write_bytes(whole[:-100] if spoil is None else spoil)
    grammar.parser.cache_clear()
    assert grammar.parser().parse(SENTENCES["part"], start="part")
    grammar.parser.cache_clear()
    monkeypatch.setattr(grammar, "made_from", _never)
    assert grammar.parser().parse(SENTENCES["part"], start="part")  # it was written anew


def test_another_grammar_is_not_answered_by_old_tables(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    grammar.parser()
    grammar.parser.cache_clear()
    changed = grammar.grammar_text() + "\n// another issue of it\n"
    monkeypatch.setattr(grammar, "grammar_text", lambda: changed)
    before = (place / grammar.KEPT).read_bytes()
    grammar.parser()
    assert (place / grammar.KEPT).read_bytes() != before


def test_tables_that_would_run_code_are_refused(place: Path) -> None:
    class Trap:
        def __reduce__(self) -> tuple[object, tuple[str]]:
            return open, (str(place.parent / "opened"),)

    assert not grammar._plain(pickle.dumps({"data": Trap()}))
    assert grammar._plain(grammar.tables_of(grammar.made_from(grammar.grammar_text())))


def test_a_folder_that_cannot_be_written_is_no_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "circuitcheck").write_text("a file where the folder should be")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    grammar.parser.cache_clear()
    assert grammar.parser().parse(SENTENCES["line"], start="line")
    assert kept(grammar.KEPT, "any") is None
    grammar.parser.cache_clear()
