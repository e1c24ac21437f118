"""Texts to chapters and sentences: shape, places, odd files, many mistakes."""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck.basics.places import Place
from circuitcheck.language import Text, read, read_file
from circuitcheck.language.reader import MOST_MISTAKES
from circuitcheck.language.text import Amount, Formula, Joint, Line, Quote, Sum, Word

CIRCUITS = sorted((Path(__file__).parent / "circuits").glob("*.hyc"))


def clean(source: str) -> Text:
    text, findings = read(source, "x.hyc")
    assert findings == []
    return text


@pytest.mark.parametrize("path", CIRCUITS, ids=lambda path: path.stem)
def test_circuits_read_without_a_mistake(path: Path) -> None:
    text, findings = read_file(path)
    assert findings == []
    assert text.complete


@pytest.mark.parametrize("path", CIRCUITS, ids=lambda path: path.stem)
def test_places_point_at_the_words_they_belong_to(path: Path) -> None:
    text, _ = read_file(path)
    lines = {name: source.split("\n") for name, source in text.used.items()}
    lines[str(path)] = text.source.split("\n")
    seen = 0
    for chapter in (*text.chapters, *(c for block in text.blocks for c in block.chapters)):
        for sentence in chapter.sentences:
            for clause in sentence.clauses:
                for item in clause.items:
                    place = item.place
                    row = lines[place.file][place.line - 1]
                    shown = row[place.column - 1 : place.end_column - 1]
                    if isinstance(item, Word):
                        assert shown == item.text
                    elif isinstance(item, Quote):
                        assert shown == f'"{item.text}"'
                    elif isinstance(item, Amount):
                        assert shown.startswith(item.text)
                    seen += 1
    assert seen > 10


def test_a_comma_at_the_end_carries_the_sentence_on() -> None:
    text = clean(
        "parts\n  P1  pump, fixed,   # first\n\n    # between\n      16 cc/rev\n  T1 tank\n"
    )
    first, second = text.sentences("parts")
    assert [clause.text for clause in first.clauses] == ["pump", "fixed", "16 cc/rev"]
    assert first.clauses[2].place == Place("x.hyc", 5, 7, 5, 16)
    assert second.names[0].text == "T1"


@pytest.mark.parametrize(
    ("written", "value", "unit"),
    [
        ("210 bar", 210.0, "bar"), (".5 m", 0.5, "m"), ("1/2 in", 0.5, "in"),
        ("1-1/4 in", 1.25, "in"), ("1 1/4 in", 1.25, "in"), ("-5 degC", -5.0, "degC"),
        ("2e3 psi", 2000.0, "psi"), ("16cc/rev", 16.0, "cc/rev"),
        ("0.85 cu in/rev", 0.85, "cu in/rev"),
        ("4:1", 4.0, None), ("92 %", 92.0, "%"), ("3 imp gpm", 3.0, "imp gpm"),
    ],
)  # fmt: skip
def test_figures(written: str, value: float, unit: str | None) -> None:
    text = clean(f"parts\n P1 pump, {written}\n")
    (sentence,) = text.sentences("parts")
    (item,) = sentence.clauses[1].items
    assert isinstance(item, Amount)
    assert item.value == value
    assert (item.unit.canonical if item.unit else None) == unit


def test_dimensions_ratio_and_joints_keep_both_parts() -> None:
    text = clean("parts\n V1 valve 4/3, at a P-A B-T, tube 16 x 2 mm\n")
    (sentence,) = text.sentences("parts")
    ways, tube = sentence.clauses[0].items[1], sentence.clauses[2].items[1]
    assert isinstance(ways, Amount)
    assert isinstance(tube, Amount)
    assert (ways.pair, ways.mark) == ((4.0, 3.0), "/")
    assert (tube.pair, tube.mark) == ((16.0, 2.0), "x")
    assert [i.ports for i in sentence.clauses[1].items if isinstance(i, Joint)] == [
        ("P", "A"), ("B", "T"),
    ]  # fmt: skip


def test_item_codes_are_names() -> None:
    text = clean("parts\n 1V2 valve 4/3\n 1-H1.3 tank, 60 L\nlines\n from 1V2 P to 1-H1.3\n")
    assert [s.names[0].text for s in text.sentences("parts")] == ["1V2", "1-H1.3"]
    (line,) = text.lines()
    assert (line.starts[0].name.text, line.stops[0].name.text) == ("1V2", "1-H1.3")


def test_sums_keep_their_order() -> None:
    text = clean("parts\n R1 relief, set (1.1 * work - 2 * (3 bar + x))\n")
    (sentence,) = text.sentences("parts")
    formula = sentence.clauses[1].items[1]
    assert isinstance(formula, Formula)
    assert isinstance(formula.root, Sum)
    assert [sign for sign, _ in formula.root.terms] == ["+", "-"]
    assert formula.text == "1.1 * work - 2 * (3 bar + x)"


def test_line_with_everything() -> None:
    text = clean("lines\n back from A T and B 1 through K and F to T1 and p start, hose 1/2 in\n")
    (line,) = text.lines()
    assert isinstance(line, Line)
    assert line.name is not None
    ends = [(e.name.text, e.port.text if e.port else "") for e in (*line.starts, *line.stops)]
    assert (line.name.text, ends) == (
        "back", [("A", "T"), ("B", "1"), ("T1", ""), ("p", "start")],
    )  # fmt: skip
    assert [end.name.text for end in line.through] == ["K", "F"]


@pytest.mark.parametrize(
    "change",
    [
        lambda s: s.replace("\n", "\r\n"), lambda s: s.replace("\n", "\r"),
        lambda s: "\ufeff" + s, lambda s: s.replace("  ", "\t"), lambda s: s.rstrip("\n"),
        lambda s: s.replace(" ", "\xa0"), lambda s: s + "\n\n# end",
    ],
)  # fmt: skip
def test_line_ends_marks_and_blanks_make_no_difference(change: object) -> None:
    source = CIRCUITS[0].read_text(encoding="utf-8")
    changed = change(source)  # type: ignore[operator]
    plain, other = clean(source), clean(changed)

    def said(text: Text) -> list[list[str]]:
        return [[s.text.split()[0] for s in c.sentences] for c in text.chapters]

    assert said(plain) == said(other)


def test_a_line_may_bear_the_word_of_a_heading() -> None:
    text = clean(
        "lines\n oil from T1 to P1 S,\n   hose 1 in\n use from P1 P to V1 P\noil ISO VG 46\n"
    )
    assert [line.name.text for line in text.lines() if line.name] == ["oil", "use"]
    assert [chapter.word for chapter in text.chapters] == ["lines", "oil"]


def test_a_number_sign_in_a_text_is_no_comment() -> None:
    (chapter,) = clean('circuit "press #2"  # the second\n').chapters
    assert [item.text for item in chapter.about[0].items if isinstance(item, Quote)] == ["press #2"]


def test_every_mistake_is_reported_once_and_the_rest_is_read() -> None:
    text, findings = read(
        "parts\n P1 = x\n T1 tank\n R1; y\nlines\n P1 S to T1\n from R1 T to T1\n"
    )
    assert [(f.slug, f.place.line) for f in findings] == [
        ("equals-sign", 2), ("semicolon", 4), ("line-without-from", 6),
    ]  # fmt: skip
    assert [s.names[0].text for s in text.sentences("parts")] == ["T1"]
    assert len(list(text.lines())) == 1
    assert {"P1", "R1"} <= text.unread
    assert not text.complete


def test_reading_stops_after_many_mistakes_and_says_so() -> None:
    _, findings = read("parts\n" + " P1 = x\n" * 100)
    assert len(findings) == MOST_MISTAKES + 1
    assert findings[-1].slug == "many-mistakes"


def test_a_file_that_is_not_utf_8(tmp_path: Path) -> None:
    path = tmp_path / "a.hyc"
    path.write_bytes('circuit "x"\nparts\n T1 Beh\xe4lter\n'.encode("latin-1"))
    text, findings = read_file(path)
    assert not text.complete
    (finding,) = findings
    assert (finding.slug, finding.place.line, finding.place.column) == ("file-encoding", 3, 8)


def test_a_file_saved_as_utf_16(tmp_path: Path) -> None:
    path = tmp_path / "a.hyc"
    path.write_text("parts\n", encoding="utf-16")
    _, (finding,) = read_file(path)
    assert "UTF-16" in finding.message


def test_a_missing_file(tmp_path: Path) -> None:
    _, (finding,) = read_file(tmp_path / "none.hyc")
    assert finding.slug == "file-unread"


@pytest.mark.parametrize(
    "source",
    ["", "\n", ",", "\0" * 50, '"' * 99, "(" * 5000, "parts\n P1 x, (" + "-" * 5000 + "1)", "#"],
)
def test_odd_texts_are_no_trouble(source: str) -> None:
    _, findings = read(source)
    assert all(finding.message for finding in findings)


def test_what_a_message_quotes_stays_short() -> None:
    _, findings = read("parts\nP1 pump, rated " + "1" * 5000 + " bar\n" + "a" * 9999)
    assert findings
    assert all(len(finding.message) < 300 for finding in findings)
