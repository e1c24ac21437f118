"""What findings propose: written as it is proposed, the mistake is gone."""

from __future__ import annotations

import pytest

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.editing.actions import action
from circuitcheck.editing.renaming import changed
from circuitcheck.pipeline import parse
from tests.language.test_mistakes import Mistake, mistakes
from tests.press_text import PRESS

PROPOSED = [mistake for mistake in mistakes() if "did you mean" in mistake.message]


def repaired(text: str) -> tuple[str, Finding, str]:
    """Give the text with the first repair made, the finding, and the name of the repair."""
    for finding in parse(text).mistakes:
        proposed = action(finding, text)
        if proposed is not None:
            return changed(text, [proposed.change]), finding, proposed.title
    raise AssertionError("nothing is proposed")


@pytest.mark.parametrize("mistake", PROPOSED, ids=lambda m: m.title)
def test_what_was_meant_takes_the_mistake_away(mistake: Mistake) -> None:
    project = parse(mistake.text, mistake.file)
    meant = [f for f in project.mistakes if "did you mean" in f.remedy]
    for finding in meant:
        proposed = action(finding, mistake.text)
        if proposed is None:
            continue
        text = changed(mistake.text, [proposed.change])
        slugs = [(f.slug, f.place.line) for f in parse(text, mistake.file).mistakes]
        before = [(f.slug, f.place.line) for f in project.mistakes]
        assert slugs.count((finding.slug, finding.place.line)) < before.count(
            (finding.slug, finding.place.line)
        )


def test_hardly_a_did_you_mean_is_without_a_repair() -> None:
    without = []
    for mistake in PROPOSED:
        for finding in parse(mistake.text, mistake.file).mistakes:
            if "did you mean" in finding.remedy and finding.instead is None:
                without.append(mistake.title)
    assert len(without) <= 0.15 * len(PROPOSED), without


@pytest.mark.parametrize(
    ("old", "new", "written"),
    [
        ("bore 80 mm", "boar 80 mm", "bore 80 mm"),
        ("closed centre", "closd centre", "closed centre"),
        ("T1  tank", "T1  tnak", "T1  tank"),
        ("P1 S", "P1 s", "P1 S"),
        ("to R1 P", "to R11 P", "to R1 P"),
        ("V1 at a, C1", "V1 at a, C11", "V1 at a, C1"),
        ("C1 load 20 kN", "C1 laod 20 kN", "C1 load 20 kN"),
        ("set 180 bar", "set 180 baar", "set 180 bar"),
        ("cycle\n", "cylce\n", "cycle\n"),
        ("parts\n", "Parts\n", "parts\n"),
        ("bore 80 mm", "bore 80,5 mm", "bore 80.5 mm"),
        ("1450 rpm", "1 450 rpm", "1450 rpm"),
        ("valve 4/3", "valve 4-3", "valve 4/3"),
        ("cylinder, bore 80 mm", "cylinder bore 80 mm", "cylinder, bore 80 mm"),
        ("bore 80 mm", "bore = 80 mm", "bore   80 mm"),
        ("C1 load 20 kN", "C1 load –20 kN", "C1 load -20 kN"),
        ("V1 at a", "V1 @ a", "V1 at a"),
        ("180 bar\n", "180 bar;\n", "180 bar\n"),
        ("V1 A to", "V1.A to", "V1 A to"),
        ("5 s", "5 s,, V1 at a", "5 s, V1 at a"),
        ("from R1 T to T1\n", 'from R1 T to T1, hose 1/2", 1 m\n',
         "from R1 T to T1, hose 1/2 in, 1 m\n"),
    ],
)  # fmt: skip
def test_a_mistake_is_put_right(old: str, new: str, written: str) -> None:
    assert PRESS.count(old) >= 1
    text, finding, title = repaired(PRESS.replace(old, new, 1))
    assert text == PRESS.replace(old, written, 1)
    assert title
    assert finding.severity is Severity.ERROR


def test_a_step_with_blanks_is_put_into_quotes() -> None:
    text = PRESS.replace("step out,", 'step "slow out",') + "claims\n  C1 speed 1 m/s, in slowout\n"
    assert repaired(text)[0].endswith('in "slow out"\n')


def test_what_takes_more_than_a_word_has_no_repair() -> None:
    (finding, *_) = parse(PRESS.replace("set 180 bar", "set 180")).mistakes
    assert action(finding, PRESS) is None
