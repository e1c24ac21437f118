"""The reference of components is made from the program, whole, and not stale."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from circuitcheck.cli.explain import command
from circuitcheck.components import kinds
from circuitcheck.components._parts import Kind, Part
from circuitcheck.reports.kind_text import write_kind
from circuitcheck.reports.reference import COMMAND, reference_page
from circuitcheck.reports.terminal import Sheet

KINDS = sorted({kind.word: kind for kind in kinds().values()}.values(), key=lambda k: k.word)


def page_of(kind: Kind) -> str:
    sheet = Sheet(2000)
    write_kind(sheet, kind)
    return " ".join(sheet.text().split())


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.word)
def test_every_kind_gives_its_equations_and_sources(kind: Kind) -> None:
    assert kind.law_text, f"components: 'law_text' of {kind.word} is missing"
    assert kind.sources
    for row in (*kind.law_text, *kind.sources):
        assert row == " ".join(row.split())


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.word)
def test_a_page_has_everything_that_the_dictionary_has(kind: Kind) -> None:
    page = page_of(kind)
    words = [port.text for port in Part("", kind).ports]
    words += [p.name for p in kind.parameters]
    words += [o.name for o in kind.orders] + [m.name for m in kind.measures]
    words += [option for choice in kind.choices for option in choice.options]
    words += [*kind.poses, *kind.other_words]
    words += [*kind.law_text, *kind.sources]
    squeezed = re.sub(r"[\s()-]", "", page)
    for word in words:
        assert re.sub(r"[\s()-]", "", word) in squeezed


def test_the_shipped_page_is_not_stale(project: Path) -> None:
    shipped = (project / "shared" / "reference" / "components.md").read_text(encoding="utf-8")
    assert shipped == reference_page(kinds()), f"make it anew: {COMMAND}"


def test_the_command_of_the_page_makes_it() -> None:
    done = CliRunner().invoke(command, ["components", "--format", "markdown"])
    assert done.exit_code == 0
    assert done.output == reference_page(kinds())
    assert f"`{COMMAND}`" in done.output


def test_the_page_links_to_every_kind_once() -> None:
    page = reference_page(kinds())
    links = re.findall(r"\]\(#([\w-]+)\)", page)
    heads = re.findall(r"^## (.+)$", page, re.M)
    assert links == [head.replace(" ", "-").lower() for head in heads]
    assert heads == [kind.word for kind in KINDS]


def test_only_the_reference_is_had_in_markdown() -> None:
    done = CliRunner().invoke(command, ["pump", "--format", "markdown"])
    assert done.exit_code != 0
    assert "only 'components' can be had in Markdown" in done.output
