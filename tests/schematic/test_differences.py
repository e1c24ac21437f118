"""Compaction keeps its distances and finds whole places."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.schematic.differences import Differences, UnplaceableError

GAPS = st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5), st.integers(1, 9)), max_size=12)
WISHES = st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5), st.integers(-9, 9)), max_size=12)


@settings(max_examples=60, deadline=None)
@given(GAPS, WISHES)
def test_distances_are_kept_and_places_whole(
    gaps: list[tuple[int, int, int]], wishes: list[tuple[int, int, int]]
) -> None:
    lp = Differences()
    for k in range(6):
        lp.place(str(k))
        lp.pull("0", str(k), 0.01 if k else 0.0)
    kept = [(a, b, d) for a, b, d in gaps if a < b]
    for a, b, d in kept:
        lp.at_least(str(a), str(b), d)
    for k in range(1, 6):
        lp.at_least("0", str(k), 0)
    for a, b, d in wishes:
        if a != b:
            lp.shorten(str(a), str(b), d, 1.0)
    found = lp.solve()
    for a, b, d in kept:
        assert found[str(b)] - found[str(a)] >= d


def test_a_wish_is_fulfilled_where_nothing_is_against_it() -> None:
    lp = Differences()
    lp.at_least("a", "b", 3)
    lp.shorten("a", "b", 7, 1.0)
    found = lp.solve()
    assert found["b"] - found["a"] == 7


def test_contradictions_are_named() -> None:
    lp = Differences()
    lp.at_least("a", "b", 3)
    lp.at_least("b", "a", 1)
    with pytest.raises(UnplaceableError):
        lp.solve()
