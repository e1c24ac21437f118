"""The manual is built without a warning, needs no network, and has everything in it."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from lxml import html

from circuitcheck.basics.findings import Severity
from circuitcheck.basics.unit_table import UNITS
from circuitcheck.cli import COMMANDS
from circuitcheck.components import kinds
from circuitcheck.language.chapters import FORMS
from circuitcheck.laws.library import LAWS
from circuitcheck.rules import catalogue, cautions, told

FETCHED = "//@src | //link/@href | //@data | //@poster | //@srcset"
ELSEWHERE = re.compile(r"^\s*(?:[a-z][a-z0-9+.-]*:)?//", re.I)

pytestmark = pytest.mark.xdist_group("manual")


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory, project: Path) -> Path:
    """The manual, built by the command of DEVELOPERS.md."""
    target = tmp_path_factory.mktemp("manual")
    command = [sys.executable, "-m", "sphinx", "-q", "-W", "--keep-going", "-b", "html"]
    done = subprocess.run(
        [*command, "shared/docs", str(target)], cwd=project,
        capture_output=True, text=True, check=False, timeout=300,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    return target


def text_of(site: Path, page: str) -> str:
    return " ".join(html.parse(site / f"{page}.html").getroot().text_content().split())


def test_nothing_is_fetched_from_elsewhere(site: Path) -> None:
    for page in site.glob("*.html"):
        fetched = html.parse(page).getroot().xpath(FETCHED)
        assert fetched
        assert [source for source in fetched if ELSEWHERE.match(source)] == [], page.name
    for sheet in site.rglob("*.css"):
        text = sheet.read_text("utf-8")
        assert not re.search(r"@import|url\(\s*['\"]?(?:https?:)?//", text), sheet.name
    for script in site.rglob("*.js"):
        text = script.read_text("utf-8")
        assert not re.search(r"(?:fetch|importScripts|src\s*=)\s*\(?\s*['\"`]https?:", text)


def test_every_page_leads_to_the_cautions(site: Path) -> None:
    for page in site.glob("*.html"):
        links = html.parse(page).getroot().xpath("//a/@href")
        assert any(link.startswith("cautions.html") for link in links) or page.stem == "cautions"
    said = text_of(site, "cautions")
    for caution in cautions():
        assert caution.title in said
        assert caution.source[:40] in said
    assert "0 checks" not in said


def test_every_rule_kind_command_unit_and_law_is_in_it(site: Path) -> None:
    for severity, name in zip(Severity, ("errors", "warnings", "advice"), strict=True):
        page = html.parse(site / f"{name}.html").getroot()
        said = {section.get("id"): section for section in page.iter("section")}
        rules = [rule for rule in catalogue().values() if rule.severity is severity]
        for rule in rules:
            shown = " ".join(said[rule.slug].text_content().split())
            assert rule.section("Why it matters on the machine") in shown
    kinds_page = html.parse(site / "kinds.html").getroot()
    heads = {head.text_content().rstrip("¶") for head in kinds_page.xpath("//h2")}
    assert {kind.word for kind in kinds().values()} <= heads
    commands = html.parse(site / "commands.html").getroot()
    assert [h.text_content().rstrip("¶") for h in commands.xpath("//h2")] == list(COMMANDS)
    language = text_of(site, "language")
    for spelling in [unit[0] for units in UNITS.values() for unit in units]:
        assert spelling in language
    for heading in FORMS:
        assert heading in language
    assert "lark" in language.lower()
    assert "claim: name clause more*" in language
    physics = html.parse(site / "physics.html").getroot()
    laws = {head.text_content().rstrip("¶") for head in physics.xpath("//h3")}
    assert {word.replace("_", " ") for word in LAWS} <= laws
    beside = text_of(site, "told")
    assert [slug for slug in told() if slug not in beside] == []


def test_circuits_are_drawn_and_coloured(site: Path) -> None:
    tutorial = html.parse(site / "tutorial.html").getroot()
    (drawn,) = tutorial.xpath("//div[@class='drawn']")
    assert drawn.xpath(".//*[local-name()='svg']")
    assert "96.5 bar" in drawn.text_content()  # with the values of its step
    (first, *_) = tutorial.xpath("//div[contains(@class, 'highlight-hyc')]")
    assert "parts" in [span.text for span in first.xpath(".//span[@class='kd']")]


def test_a_mark_without_a_maker_is_an_error() -> None:
    from made import made

    with pytest.raises(KeyError):
        made("<!-- made: nonsense -->")
    assert made("no marks") == "no marks"
