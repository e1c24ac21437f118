"""Consequences come under their cause; the short way there gives what comparing all does."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from circuitcheck import circuit, language, rules
from circuitcheck.basics.findings import Finding, Note, Severity
from circuitcheck.basics.places import NOWHERE, Place
from circuitcheck.rules._nesting import nest, related
from tests.scale.test_scale import MOST_GROWTH, calls

TEXT = """\
circuit "two parts"
parts
  T1  tank, 40 L
  E1  electric motor, 11 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1
  R1  relief, set 180 bar
lines
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T to T1
"""
BUILT = circuit.build(language.read(TEXT)[0])[0]
CAUSES = [rule for rule in rules.catalogue().values() if rule.explains]
SLUGS = sorted(
    {"force-short", "claim-off", "relief-open-in-work", "inlet-starved"}
    | {slug for rule in CAUSES[:6] for slug in (rule.slug, *rule.explains)}
)
PARTS = st.sampled_from(["", "T1", "P1", "R1", "a line"])


@st.composite
def finding(draw: st.DrawFn) -> Finding:
    notes = draw(st.lists(PARTS, max_size=2))
    return Finding(
        draw(st.sampled_from(SLUGS)),
        draw(st.sampled_from(Severity)),
        draw(st.sampled_from("ab")),
        Place("x", draw(st.integers(1, 3)), 1, 1, 2),
        component=draw(PARTS),
        step=draw(st.sampled_from(["", "out", "idle"])),
        notes=tuple(Note(f"{name} stands here", NOWHERE) for name in notes),
    )


def all_compared(findings: list[Finding]) -> dict[int, int]:
    """Give the cause of each consequence by looking at every pair."""
    assert BUILT is not None
    parent: dict[int, int] = {}
    for rule in rules.catalogue().values():
        roots = [i for i, one in enumerate(findings) if one.slug == rule.slug]
        for root in roots:
            for i, other in enumerate(findings):
                new = other.slug in rule.explains and i not in parent
                if new and related(BUILT, findings[root], other):
                    parent[i] = root
    return parent


def test_of_two_parts_none_is_the_whole() -> None:
    assert BUILT is not None
    root = Finding("force-short", Severity.ERROR, "x", NOWHERE, component="P1")
    for part, same in (("R1", False), ("P1", True), ("T1", True), ("E1", True), ("", True)):
        assert related(BUILT, root, replace(root, component=part)) is same


def told(nested: list[Finding]) -> list[object]:
    return [(one.message, one.slug, told(list(one.consequences))) for one in nested]


@given(st.lists(finding(), max_size=14))
def test_nesting_gives_what_comparing_all_pairs_gives(drawn: list[Finding]) -> None:
    assert BUILT is not None
    found = [replace(one, message=str(i)) for i, one in enumerate(drawn)]
    parent = all_compared(found)
    for i in list(parent):
        here, seen = i, set()
        while here in parent and here not in seen:
            seen.add(here)
            here = parent[here]
        if here in seen and i in _ring(parent, here):
            parent[i] = -1
    loose = [i for i in range(len(found)) if parent.get(i, -1) == -1]

    def under(i: int) -> list[object]:
        below = [j for j, cause in parent.items() if cause == i]
        return [(str(j), found[j].slug, under(j)) for j in sorted(below)]

    expected = [(str(i), found[i].slug, under(i)) for i in loose]
    assert told(nest(BUILT, found, rules.catalogue().values())) == expected


def _ring(parent: dict[int, int], start: int) -> set[int]:
    ring, here = {start}, parent.get(start, -1)
    while here in parent and here not in ring:
        ring.add(here)
        here = parent[here]
    return ring


def test_work_grows_with_the_number_of_findings() -> None:
    assert BUILT is not None
    listed = list(rules.catalogue().values())
    cause = next(rule for rule in CAUSES if not rule.slug.startswith("claim-"))

    def spent(count: int) -> float:
        found = [
            Finding(slug, Severity.ADVICE, "x", NOWHERE, component=f"P{i}", step=f"s{i % 7}{slug}")
            for i in range(count)
            for slug in (cause.slug, cause.explains[0])
        ]
        return calls(lambda: nest(BUILT, found, listed)) / count

    assert spent(800) < MOST_GROWTH * spent(200)
