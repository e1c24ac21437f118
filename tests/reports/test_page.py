"""The HTML report: one file, no script, readable by machines that read aloud."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest

from circuitcheck.pipeline import Project, parse
from circuitcheck.reports.page import inline

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


def test_there_is_a_drawing_for_every_step(page: Page, press: Project) -> None:
    assert len(page.all("svg")) == len(press.solve().points)
    assert len(page.all("input")) == len(page.all("label")) == len(press.solve().points)


def test_figures_and_cautions_are_on_the_page(page: Page) -> None:
    words = " ".join(" ".join(page.words).split())
    for said in ("at end stop", "L/min", "Never feel for a leak", "ISO 12100", "Assumed"):
        assert said in words


def test_words_of_the_text_are_never_taken_for_tags() -> None:
    text = '''\
circuit "<script>alert(1)</script> & more"
parts
  T1  tank, 60 L
  E1  electric motor, 11 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1
  R1  relief, set 210 bar, 60 L/min
lines
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T to T1
'''
    shown = parse(text, "<b>.hyc").report()
    assert not Page(shown).all("script")
    assert "&lt;script&gt;" in shown
    assert not Page(shown).all("b")


def test_a_text_that_is_not_understood_gives_a_page_with_its_mistakes(broken: Project) -> None:
    page = Page(broken.report())
    assert "did you mean 'bar'?" in " ".join(page.words)
    assert not page.all("svg")


def test_drawings_do_not_share_ids() -> None:
    svg = '<?xml version="1.0"?>\n<svg width="9mm" height="9mm"><g id="a"/><use href="#a"/></svg>'
    assert 'id="s1-a"' in inline(svg, "s1-")
    assert 'href="#s1-a"' in inline(svg, "s1-")
    assert "<?xml" not in inline(svg, "s1-")
