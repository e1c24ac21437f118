"""Accepted findings: parted, counted apart, stale ones told."""

from __future__ import annotations

import pytest

from circuitcheck import pipeline
from circuitcheck.basics.findings import Finding, NotChecked, Severity
from circuitcheck.circuit.model import Acceptance
from circuitcheck.review.accepting import STALE, part
from tests.press_text import PRESS


def found(slug: str, component: str = "", step: str = "", *under: Finding) -> Finding:
    return Finding(slug, Severity.ERROR, slug, component=component, step=step, consequences=under)


def test_an_accepted_finding_stays_with_its_reason_and_is_counted_apart() -> None:
    text = PRESS + 'accepted\n  idle_over_relief on P1, in idle, because "five seconds a day"\n'
    result = pipeline.parse(text).check()
    (accepted,) = result.accepted
    assert accepted.finding.slug == "idle-over-relief"
    assert accepted.reason == "five seconds a day"
    assert "idle-over-relief" not in {finding.slug for finding in result.findings}
    report = pipeline.parse(text).report("text")
    assert "1 accepted" in report
    assert "five seconds a day" in report


def test_an_acceptance_without_part_and_step_takes_all_of_its_rule() -> None:
    findings = [found("a", "P1", "x"), found("a", "P2", "y"), found("b", "P1")]
    parted = part(findings, [Acceptance("a", "", "", "so")], ["a", "b"])
    assert [one.slug for one in parted.open] == ["b"]
    assert len(parted.accepted) == 2


def test_what_follows_from_an_accepted_finding_is_not_accepted_with_it() -> None:
    findings = [found("root", "P1", "", found("below", "P1"))]
    parted = part(findings, [Acceptance("root", "P1", "", "so")], ["root", "below"])
    assert [one.slug for one in parted.open] == ["below"]
    assert parted.accepted[0].finding.consequences == ()


def test_a_finding_under_another_one_can_be_accepted_alone() -> None:
    findings = [found("root", "P1", "", found("below", "P1"))]
    parted = part(findings, [Acceptance("below", "P1", "", "so")], ["root", "below"])
    assert [(one.slug, one.consequences) for one in parted.open] == [("root", ())]


def test_a_stale_acceptance_is_a_finding_and_says_where_the_rule_stands_now() -> None:
    parted = part([found("a", "P2", "x")], [Acceptance("a", "P1", "", "so")], ["a"])
    stale = parted.open[-1]
    assert (stale.slug, stale.severity) == (STALE, Severity.WARNING)
    assert "it stands on P2 in x" in stale.remedy


def test_a_rule_that_is_none_is_told_with_the_one_that_was_meant() -> None:
    parted = part([], [Acceptance("idle-over-releif", "P1", "", "so")], ["idle-over-relief"])
    assert "there is no such rule" in parted.open[0].message
    assert "idle-over-relief" in parted.open[0].remedy


def test_an_acceptance_is_not_stale_where_its_rule_could_not_be_judged() -> None:
    unjudged = [NotChecked("a", "P1", "a figure")]
    assert part([], [Acceptance("a", "P1", "", "so")], ["a"], unjudged).open == ()


@pytest.mark.parametrize(
    ("sentence", "slug"),
    [
        ("idle-over-relief on P1", "reason-missing"),
        ("idle-over-relief", "reason-missing"),
        ('idle-over-relief on P1, because ""', "reason-missing"),
        ('idle-over-relief on P7, because "so"', "unknown-part"),
        ('idle-over-relief on P1, in idel, because "so"', "unknown-step"),
        ('idle-over-relief on P1, perhaps, because "so"', "clause-unread"),
    ],
)
def test_a_sentence_that_is_wrong_is_told(sentence: str, slug: str) -> None:
    project = pipeline.parse(f"{PRESS}accepted\n  {sentence}\n")
    assert slug in {finding.slug for finding in project.mistakes}
