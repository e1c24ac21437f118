"""Accepted findings: parted, counted apart, stale ones told."""

from __future__ import annotations

import pytest

from circuitcheck import pipeline
from circuitcheck.basics.findings import Finding, NotChecked, Severity
from circuitcheck.circuit.model import Acceptance
from circuitcheck.review.accepting import STALE, part

PRESS = """\
circuit "press"
oil ISO VG 46, at 45 degC
parts
  T1  tank, 100 L
  E1  electric motor, 11 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1
  R1  relief, set 180 bar
  V1  valve 4/3, closed centre
  C1  cylinder, bore 80 mm, rod 50 mm, stroke 400 mm
lines
  suction from T1 to P1 S
  from P1 P to V1 P
  from P1 P to R1 P
  from R1 T to T1
  from V1 A to C1 cap
  from V1 B to C1 rod
  from V1 T to T1
cycle
  step idle, V1 at centre, 5 s
  step out, V1 at a, C1 load 20 kN, C1 travels 400 mm
"""


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
