"""Everything that any output can show in square brackets is explained."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import circuitcheck
from circuitcheck import pipeline, rules
from circuitcheck.rules._told import under_other_names

PACKAGE = Path(circuitcheck.__file__).parent
ROOMS = ("language", "circuit", "solver", "components", "pipeline", "basics", "review", "studies")
SAYING = ("error", "warn", "find", "_find", "fault", "_fault", "_wrong", "finding", "Finding",
          "Caution", "UnreadableError")  # fmt: skip
"""Functions that are given the name of a finding."""

NAME = re.compile("[a-z]+(-[a-z]+)*")


def _trees() -> Iterator[ast.AST]:
    for room in ROOMS:
        for file in (PACKAGE / room).rglob("*.py"):
            yield ast.parse(file.read_text(encoding="utf-8"))


def _calls() -> Iterator[tuple[ast.Call, str]]:
    for tree in _trees():
        for node in ast.walk(tree):
            if isinstance(node, ast.Call):
                name = getattr(node.func, "attr", getattr(node.func, "id", ""))
                if name in SAYING:
                    yield node, name


def _said() -> set[str]:
    """Names of findings, as the program's own text gives them to what makes findings."""
    found = set()
    for call, _ in _calls():
        given = [*call.args[:2], *(k.value for k in call.keywords if k.arg == "slug")]
        for one in given:
            if isinstance(one, ast.Constant) and isinstance(one.value, str):
                found.add(one.value)
    return {name for name in found if NAME.fullmatch(name)}


def _texts() -> set[str]:
    return {
        node.value
        for tree in _trees()
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }


def test_every_name_of_a_finding_is_explained() -> None:
    unexplained = {name for name in _said() if "-" in name} - set(rules.explained())
    assert unexplained == set()
    assert len(_said()) > 80


def test_nothing_is_explained_that_is_never_told() -> None:
    assert set(rules.told()) - _texts() == set()


def test_a_name_is_a_rule_or_told_not_both() -> None:
    assert not set(rules.told()) & set(rules.catalogue())
    assert not set(under_other_names()) & set(rules.catalogue())
    for slugs in under_other_names().values():
        assert set(slugs) <= {*rules.told(), *rules.catalogue()}


@pytest.mark.parametrize("slug", ["acceptance-stale", "not-solved", "name-twice", "label-twice"])
def test_a_page_fits_80_columns_and_says_what_to_do(slug: str) -> None:
    page = rules.explain(slug)
    assert max(map(len, page.splitlines())) <= 80
    assert "What to do\n" in page


@pytest.mark.parametrize(
    ("text", "slug"),
    [
        ("parts\n  P1  pump, fixed, driven by E1\n  E1  electric motor, 5 kW, 1450 rpm\n",
         "pump-data-missing"),
        ("parts\n  C1  cylinder, bore 80 mm, stroke 200 mm\n", "cylinder-data-missing"),
        ("parts\n  C1  cylinder, bore 80 mm, rod 90 mm, stroke 200 mm\n",
         "cylinder-data-missing"),
        ("parts\n  T1  tank, 60 L\n  T1  tank, 40 L\n", "label-twice"),
        ("parts\n  tank, 60 L\n", "label-missing"),
        ("parts\n  T1  tank, 60 L\n  V1  valve 4/3, closed centre\nlines\n  from V1 to T1\n",
         "port-letter-missing"),
        ("parts\n  T1  tank, 60 L\n  V1  valve 4/3, closed centre\nlines\n  from V1 Q to T1\n",
         "port-letter-missing"),
    ],
)  # fmt: skip
def test_what_reviewers_look_for_is_refused_under_another_name(text: str, slug: str) -> None:
    mistakes = pipeline.parse('circuit "x"\n' + text).mistakes
    assert {one.slug for one in mistakes} & set(under_other_names()[slug])


def test_the_page_of_another_name_shows_the_pages_of_what_is_told() -> None:
    text = rules.explain("pump-data-missing")
    for other in under_other_names()["pump-data-missing"]:
        assert other not in rules.told() or rules.explain(other).strip() in text
    assert "\nfigure-needed (error of the text)\n" in text
