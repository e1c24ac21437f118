"""The HTML report: one file, no script, readable by machines that read aloud."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from circuitcheck.pipeline import Project, parse
from circuitcheck.reports.page import inline
from circuitcheck.reports.page_blocks import Tabled
from circuitcheck.reports.page_lists import heat_table, lines_table
from circuitcheck.reports.page_plots import can_plot
from circuitcheck.reports.tables import Column, Table
from tests.press_text import TWO_PUMPS

VOID = {"meta", "input", "br", "link", "img", "hr"}


class Page(HTMLParser):
    """Collects what the tests look at; a tag closed out of turn raises."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag, f"</{tag}> closes something else"

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.tags if name == tag]


@pytest.fixture(scope="module")
def text(press: Project) -> str:
    return press.report()


@pytest.fixture(scope="module")
def page(text: str) -> Page:
    return Page(text)


def test_every_tag_is_closed_in_turn(page: Page) -> None:
    assert page.open == []


def test_the_page_needs_no_other_file_and_no_script(page: Page, text: str) -> None:
    assert not page.all("script")
    assert not page.all("link")
    assert "@import" not in text
    for _, attributes in page.tags:
        for name in ("src", "href", "xlink:href"):
            assert (attributes.get(name) or "#").startswith("#")


def test_ids_are_unique_and_links_arrive(page: Page) -> None:
    ids = [attributes["id"] for _, attributes in page.tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    targets = [str(link["href"])[1:] for link in page.all("a")]
    assert targets
    assert set(targets) <= set(ids)
    labelled = [a["aria-labelledby"] for _, a in page.tags if "aria-labelledby" in a]
    assert set(labelled) <= set(ids)


def test_tables_and_headings_can_be_read_aloud(page: Page) -> None:
    assert page.all("html")[0]["lang"] == "en"
    assert len(page.all("caption")) == len(page.all("table")) > 10
    assert all(head.get("scope") in ("col", "row") for head in page.all("th"))
    levels = [int(tag[1]) for tag, _ in page.tags if tag in ("h1", "h2", "h3", "h4")]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels)), "a level is skipped"


def test_the_page_can_be_walked_by_landmarks_and_keys(page: Page) -> None:
    assert [len(page.all(tag)) for tag in ("header", "nav", "main")] == [1, 1, 1]
    first = page.all("a")[0]
    assert (first["class"], first["href"]) == ("skip", "#main")
    names = [a.get("aria-label") for a in page.all("nav") + page.all("aside")]
    assert all(names)
    assert len(names) == len(set(names))
    sections = page.all("section")
    assert all(section["aria-labelledby"] == f"{section['id']}-head" for section in sections)
    chapters = [link["href"] for link in page.all("a") if link not in (first,)][: len(sections)]
    assert chapters == [f"#{section['id']}" for section in sections]
    wide = [div for div in page.all("div") if "tabindex" in div]
    assert wide
    assert all(div["role"] == "group" and div["aria-label"] for div in wide)


def test_every_picture_has_a_name(text: str, page: Page) -> None:
    assert all(svg["role"] == "img" for svg in page.all("svg"))
    for piece in text.split("<svg ")[1:]:
        assert re.match(r"[^>]*>\s*<title>[^<]+</title>", piece)


def test_there_is_a_drawing_for_every_step(page: Page, press: Project) -> None:
    steps = len(press.solve().points)
    assert len([f for f in page.all("figure") if f.get("class") == "sheet"]) == steps
    assert len(page.all("input")) == len(page.all("label")) == steps
    # the pressure ladder; energy, power and a pump where they can be drawn
    assert len(page.all("svg")) == steps + 1 + (3 if can_plot() else 0)


CHAPTERS = [
    "job", "findings", "claims", "schematic", "steps", "lines", "parts", "ladder", "heat",
    "duty", *(["curves"] if can_plot() else []), "start-up", "numbers", "basis", "cautions",
]  # fmt: skip


def test_the_chapters_stand_in_their_order(page: Page) -> None:
    assert [section["id"] for section in page.all("section")] == CHAPTERS


def test_what_a_circuit_does_not_have_is_no_chapter(small: Project) -> None:
    shown = [section["id"] for section in Page(small.report()).all("section")]
    assert shown == [c for c in CHAPTERS if c not in ("claims", "duty")]


def test_figures_and_cautions_are_on_the_page(page: Page) -> None:
    words = " ".join(" ".join(page.words).split())
    for said in (
        "at end stop", "L/min", "Never feel for a leak", "ISO 12100", "Assumed",
        "Where local codes or a licensed professional say otherwise, they are right",
        "Oil from a hole you can hardly see", "Never stand under a load", "is not an empty system",
        "12.7 mm x 2 m", "V1 A C1 cap", "203 / 276",
        "People clear, loads down", "Expected readings",
    ):  # fmt: skip
        assert said in words, said


def test_a_number_is_made_from_its_formula(page: Page) -> None:
    words = " ".join(" ".join(page.words).split())
    assert re.search(r"v = Q / A = 21\.\d+ L/min / 78\.54 cm2 = 4[56]\.\d+ mm/s", words)
    assert "What its flow costs." in words
    assert page.all("details")
    assert not [d for d in page.all("details") if "open" in d]


def test_numbers_are_opened_or_left_out_as_asked(small: Project) -> None:
    opened = Page(small.report(numbers="open"))
    assert opened.all("details")
    assert all("open" in d for d in opened.all("details"))
    assert not Page(small.report(numbers="left out")).all("details")


def test_the_page_is_fitted_to_the_paper_that_is_asked_for(small: Project) -> None:
    assert "@page { size: letter; }" in small.report(paper="letter")
    assert "{ size:" not in small.report()
    with pytest.raises(ValueError, match="A4 or letter"):
        small.report(paper="A3")


def test_lines_are_listed_with_the_worst_that_they_see(press: Project) -> None:
    made = lines_table(press.check(), press.circuit, "metric")
    heads = [column.head for column in made.columns]
    push = dict(zip(heads, next(row for row in made.rows if row[0] == "push"), strict=True))
    flows = {p.step.name: abs(p["push"].values["flow"]) for p in press.solve()}
    assert push["In step"] == max(flows, key=lambda name: flows[name]) == "back"
    assert float(push["Most flow"]) == pytest.approx(flows["back"] * 6e4, abs=0.06)
    assert (push["From"], push["To"], push["Size"]) == ("V1 A", "C1 cap", "12.7 mm x 2 m")
    ends = [p["C1"].ports["cap"].pressure for p in press.solve()]
    highest, rated = push["Highest / rated"].split(" / ")
    assert float(highest) == pytest.approx(max(ends) / 1e5, abs=0.5)
    assert rated == "276"
    test = dict(zip(heads, next(row for row in made.rows if row[0] == "test"), strict=True))
    assert test["Size"] == "no size"


def test_heat_adds_up_to_the_loss_of_each_step(press: Project) -> None:
    made = heat_table(press.check(), "metric")
    whole = made.rows[-1]
    assert whole[0] == "all together"
    for column, point in enumerate(press.solve(), 1):
        parts = sum(float(row[column]) for row in made.rows[:-1])
        assert float(whole[column]) == pytest.approx(point.totals.loss / 1e3, abs=6e-3)
        assert parts == pytest.approx(float(whole[column]), abs=1e-2)


def test_a_wide_table_stands_in_pieces_on_paper() -> None:
    columns = (Column("At"), *(Column(f"step number {i}") for i in range(30)))
    made = Tabled(Table("Wide", columns, (("P1", *["123.4"] * 30),)))
    pieces = made.pieces
    assert len(pieces) > 1
    assert all(piece.columns[0].head == "At" for piece in pieces)
    assert [c for piece in pieces for c in piece.columns[1:]] == list(columns[1:])
    assert pieces[1].caption == "Wide, continued"


def test_readings_bring_the_verdict_on_the_machine(press: Project) -> None:
    read = "readings\n  P1 P pressure 90 bar, in squeeze, within 3 bar\n"
    shown = parse(press.text + read, "x.hyc").report(numbers="left out")
    words = " ".join(" ".join(Page(shown).words).split())
    assert "What the readings say" in words


def test_an_unsolved_step_is_said_so() -> None:
    page = Page(parse(TWO_PUMPS).report())
    assert "Not solved: it has no steady point" in " ".join(" ".join(page.words).split())
    assert page.open == []


def test_nothing_from_outside_is_named_in_the_style(text: str) -> None:
    style = text.partition("<style>")[2].partition("</style>")[0]
    assert "url(" not in style
    assert "@import" not in style


def test_words_of_the_text_are_never_taken_for_tags() -> None:
    text = """\
circuit "<script>alert(1)</script> & more </style> <b>", issue <i>
parts
  T1  tank, 60 L
  E1  electric motor, 11 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1
  R1  relief, set 210 bar, 60 L/min
lines
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T to T1
"""
    shown = parse(text, "<b>.hyc").report()
    assert not Page(shown).all("script")
    assert "&lt;script&gt;" in shown
    page = Page(shown)
    assert not page.all("b")
    assert not page.all("i")
    assert page.open == []
    assert len(page.all("style")) == 1


def test_a_text_that_is_not_understood_gives_a_page_with_its_mistakes(broken: Project) -> None:
    page = Page(broken.report())
    assert "did you mean 'bar'?" in " ".join(page.words)
    assert not page.all("svg")


def test_drawings_do_not_share_ids() -> None:
    svg = '<?xml version="1.0"?>\n<svg width="9mm" height="9mm"><g id="a"/><use href="#a"/></svg>'
    assert 'id="s1-a"' in inline(svg, "s1-")
    assert 'href="#s1-a"' in inline(svg, "s1-")
    assert "<?xml" not in inline(svg, "s1-")
