"""What a text says in quotes and names stays a text in every form of the answer.

Marks that a browser, a spreadsheet, a viewer of drawings or a terminal would run stand in
every field that holds free words; each form is read back with a reader of its own.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from circuitcheck import reports
from circuitcheck.basics.cells import as_text
from circuitcheck.pipeline import Project, parse

SCRIPT = "</text></script><script>alert(1)</script><img src=x onerror=alert(2)>"
FORMULA = "=HYPERLINK(http://x.invalid;1)"
LINK = "[press](javascript:alert(3)) ![x](http://x.invalid/y)"
DXF = "%%c ^J {braces} |pipes| `ticks`"
MATHS = r"$\undefined{ $x^2$ 漢字"
OTHERS = "&lt;b&gt; ]]> --> {{7*7}} {% x %} %s"
NASTY = (f"{FORMULA} {SCRIPT} {DXF} {MATHS}", f"@sum {LINK} {OTHERS}")

TEXT = """circuit "{0}", issue "{0}", owner "{0}", number "{0}", date "{0}", drawn "{0}",
    approved "{0}", status "{0}"
oil ISO VG 46, at 45 degC
parts
  T1  tank, 60 L, "{0}"
  E1  electric motor, 11 kW, 1450 rpm, "{0}"
  P1  pump, fixed, 16 cc/rev, driven by E1, "{0}"
  R1  relief, set 210 bar, 60 L/min, "{0}", ports "{0}"
  V1  valve 4/3, tandem centre, solenoids a and b, spring centred, 40 L/min at 5 bar, "{0}"
  C1  cylinder, bore 63 mm, rod 36 mm, stroke 500 mm, "{0}"
lines
  from T1 to P1 S
  from P1 P to V1 P
  from P1 P to R1 P
  from R1 T to T1
  from V1 T to T1
  from V1 A to C1 cap
  from V1 B to C1 rod
cycle, repeats
  step "{0}", V1 at a, C1 load 20 kN, C1 travels 400 mm
  step back, V1 at b, C1 load 5 kN, C1 travels 400 mm
claims
  C1 speed 9 mm/s, in "{0}"
accepted
  rating_missing, because "{0}"
variations "{0}"
  vary R1 set from 100 bar to 160 bar, 2 points
"""


def text_with(nasty: str) -> str:
    """The circuit with these words in every field that takes them."""
    return TEXT.format(nasty)


@pytest.fixture(scope="module", params=NASTY, ids=range(len(NASTY)))
def nasty(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def project(nasty: str) -> Project:
    read = parse(text_with(nasty), "nasty.hyc")
    assert read.understood, [finding.message for finding in read.mistakes]
    return read


class _Tags(HTMLParser):
    """What a browser would find in a page: tags, events, addresses, and the words."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, list[tuple[str, str | None]]]] = []
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, attrs))

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def test_the_page_holds_them_as_words(project: Project, nasty: str) -> None:
    found = _Tags()
    found.feed(project.report("html"))
    own = {tag for tag, _ in found.tags}
    assert "img" not in own
    for tag, attributes in found.tags:
        for name, value in attributes:
            assert not name.startswith("on"), (tag, name)
            assert not (value or "").lower().startswith("javascript:"), (tag, name)
    scripts = [attributes for tag, attributes in found.tags if tag == "script"]
    assert scripts == []
    assert nasty in "".join(found.words)


@pytest.mark.parametrize("paper", ["", "A3, landscape"])
def test_the_drawing_holds_them_as_words(project: Project, nasty: str, paper: str) -> None:
    extras: Any = ("colours", "positions", "steps", "parts", "links")
    drawn = ElementTree.fromstring(project.draw(project.circuit.steps[0].name, extras, paper))
    tags = {element.tag.rpartition("}")[2] for element in drawn.iter()}
    assert not tags & {"script", "img", "image", "foreignObject", "iframe", "b", "i"}
    for element in drawn.iter():
        for name, value in element.attrib.items():
            assert not name.startswith("on")
            assert not value.lower().startswith("javascript:")
    assert nasty.split()[0] in "".join(drawn.itertext())


def test_lists_hold_them_as_words(project: Project, nasty: str) -> None:
    result = project.check()
    for form in ("json", "sarif"):
        text = reports.as_json(result) if form == "json" else reports.as_listed([result], form)
        assert nasty[:5] in json.dumps(json.loads(text), ensure_ascii=False)
    ElementTree.fromstring(reports.as_listed([result], "junit"))
    rows = list(csv.reader(io.StringIO(reports.as_listed([result], "csv"))))
    assert len({len(row) for row in rows}) == 1
    assert not [cell for row in rows for cell in row if cell.startswith(("=", "+", "-", "@"))]
    assert any(nasty in cell for row in rows for cell in row)


def test_sarif_makes_no_links_of_them(project: Project) -> None:
    sarif = json.loads(reports.as_listed([project.check()], "sarif"))
    for result in sarif["runs"][0]["results"]:
        assert not re.search(r"(?<!\\)\[[^]]*(?<!\\)\]\(", result["message"]["text"])


def test_notes_make_no_links_and_tags_of_them(project: Project) -> None:
    notes = reports.as_listed([project.check()], "markdown")
    assert not re.search(r"(?<!\\)\]\(", notes)
    assert not re.search(r"(?<!\\)<\w", notes)


def test_curves_as_csv_hold_no_formula(project: Project) -> None:
    from circuitcheck.reports.curves_csv import as_csv

    for words in project.curve_names():
        what, _, name = words.partition(" ")
        if what not in ("pump", "speed", "drop"):
            continue
        table = as_csv(project.curves(what, name), "metric")
        rows = list(csv.reader(io.StringIO(table)))
        words_of = [row[0] for row in rows]
        assert not [cell for cell in words_of if cell.startswith(("=", "+", "-", "@"))]


def test_a_sweep_holds_no_formula(project: Project, tmp_path: Path) -> None:
    out = tmp_path / "out.csv"
    project.sweep(out, {"R1 set": "150 bar"}, results=["C1 speed"])
    rows = list(csv.reader(io.StringIO(out.read_text(encoding="utf-8"))))
    assert {row[1] for row in rows[1:]}
    assert not [row[1] for row in rows if row[1].startswith(("=", "+", "-", "@"))]


def test_text_for_people_holds_no_marks_for_terminals(project: Project) -> None:
    text = project.report("text")
    assert all(letter.isprintable() or letter == "\n" for letter in text)


def test_dxf_shows_them_as_they_are(project: Project, nasty: str, tmp_path: Path) -> None:
    ezdxf = pytest.importorskip("ezdxf", reason="the extra 'dxf' is not installed")
    file = tmp_path / "x.dxf"
    file.write_text(project._drawing("", ("parts",)).dxf("A3, landscape"), encoding="utf-8")
    document: Any = ezdxf.readfile(file)
    shown = [entity.plain_text() for entity in document.modelspace().query("TEXT")]
    assert nasty.split()[0] in " ".join(shown)


@pytest.mark.parametrize("mark", ["=", "+", "-", "@", "\t", "\r", "＝"])
def test_a_cell_that_a_spreadsheet_would_run_is_a_text(mark: str) -> None:
    assert as_text(f"{mark}1") == f"'{mark}1"
    assert as_text(f"1{mark}") == f"1{mark}"


@pytest.mark.parametrize("name", ["=1+1.hyc", "-x.hyc", "a&b<c>.hyc", "b\udcff.hyc", "c\x01\n.hyc"])
def test_a_file_may_have_any_name(
    circuitcheck: Callable[..., Any], tmp_path: Path, name: str
) -> None:
    file = tmp_path / name
    file.write_text("parts\n  X1 tnak\n", encoding="utf-8")
    for form in ("text", "json", "sarif", "junit", "csv", "markdown"):
        answer = circuitcheck("check", file, "--format", form)
        assert answer.status == 2, answer.err
        if form == "text":
            assert not re.search("[\0-\x09\x0b-\x1f\x7f-\x9f]", answer.out)
        if form == "junit":
            ElementTree.fromstring(answer.out)


def test_a_file_whose_name_is_no_text_is_drawn_and_reported(
    circuitcheck: Callable[..., Any], tmp_path: Path
) -> None:
    file = tmp_path / "b\udcff<i>.hyc"
    file.write_text(text_with("press"), encoding="utf-8")
    assert circuitcheck("report", file, "-o", tmp_path / "x.html").status in (0, 1)
    assert circuitcheck("draw", file, "-o", tmp_path / "x.svg").status == 0
    ElementTree.parse(tmp_path / "x.svg")
