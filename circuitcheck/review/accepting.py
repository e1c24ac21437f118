"""Parts findings that somebody accepts, with a reason, from those that stay open."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from circuitcheck.basics.findings import Finding, NotChecked, Severity
from circuitcheck.circuit.desk import nearest
from circuitcheck.circuit.model import Acceptance

STALE = "acceptance-stale"


@dataclass(frozen=True)
class Accepted:
    """A finding that is accepted, without what follows from it, and the reason given."""

    finding: Finding
    reason: str


@dataclass(frozen=True)
class Parted:
    """Findings that stay open, acceptances that fit nothing among them, and accepted ones."""

    open: tuple[Finding, ...]
    accepted: tuple[Accepted, ...]


def part(
    findings: Iterable[Finding],
    acceptances: Sequence[Acceptance],
    rules: Iterable[str],
    not_checked: Iterable[NotChecked] = (),
) -> Parted:
    """Part accepted findings from open ones; worst accepted ones first.

    What follows from an accepted finding is not accepted with it and stands by itself. An
    acceptance that fits no finding is a warning (`STALE`), unless its rule could not be
    judged on that part. ``rules`` are the slugs that are known.
    """
    taken: list[Accepted] = []
    used: set[int] = set()

    def open_ones(some: Iterable[Finding]) -> Iterator[Finding]:
        for finding in some:
            under = tuple(open_ones(finding.consequences))
            fits = [i for i, one in enumerate(acceptances) if _fits(one, finding)]
            used.update(fits)
            if fits:
                bare = replace(finding, consequences=())
                taken.append(Accepted(bare, acceptances[fits[0]].reason))
                yield from under
            else:
                yield replace(finding, consequences=under) if finding.consequences else finding

    left = list(open_ones(findings))
    unjudged = {(one.slug, one.component) for one in not_checked}
    known = set(rules) | {finding.slug for finding in left}
    there = list(_flat(left))
    for i, one in enumerate(acceptances):
        if i not in used and not {(one.slug, one.part), (one.slug, "")} & unjudged:
            left.append(_stale(one, known, there))
    taken.sort(key=lambda one: one.finding.severity.rank)
    return Parted(tuple(left), tuple(taken))


def _fits(one: Acceptance, finding: Finding) -> bool:
    return (
        one.slug == finding.slug
        and one.part in ("", finding.component)
        and one.step in ("", finding.step)
    )


def _stale(one: Acceptance, known: set[str], there: list[Finding]) -> Finding:
    where = f"{f' on {one.part}' if one.part else ''}{f' in {one.step}' if one.step else ''}"
    near = "" if one.slug in known else nearest(one.slug, sorted(known))
    why = "there is no such finding any more" if one.slug in known else "there is no such rule"
    elsewhere = next((f for f in there if f.slug == one.slug), None)
    gone = "take the sentence away; should the finding come back, it is to be judged anew"
    if near:
        gone = f"did you mean {near}?"
    elif elsewhere is not None:
        step = f" in {elsewhere.step}" if elsewhere.step else ""
        gone = f"it stands on {elsewhere.component or 'the whole circuit'}{step}"
    return Finding(
        STALE,
        Severity.WARNING,
        f"{one.slug}{where} is accepted, but {why}",
        one.place,
        remedy=gone,
        why="an acceptance that is left standing hides the next finding of its kind",
        component=one.part,
        step=one.step,
    )


def _flat(findings: Iterable[Finding]) -> Iterator[Finding]:
    for finding in findings:
        yield finding
        yield from _flat(finding.consequences)
