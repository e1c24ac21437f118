"""Elimination in a fixed order gives what a general solver of equations gives (numpy)."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.solver.elimination import Eliminated, Plan, order_of
from circuitcheck.solver.factors import Dense, Ordering, Sparse


def _pattern(n: int, pairs: list[tuple[int, int]]) -> tuple[np.ndarray, np.ndarray]:
    whole = (
        {(i, i) for i in range(n)}
        | {(i % n, j % n) for i, j in pairs}
        | {(j % n, i % n) for i, j in pairs}
    )
    rows, columns = zip(*sorted(whole), strict=True)
    return np.array(rows), np.array(columns)


PAIRS = st.lists(st.tuples(st.integers(0, 30), st.integers(0, 30)), max_size=60)


@given(st.integers(1, 14), PAIRS, st.integers(0, 2**32 - 1))
def test_solutions_are_those_of_numpy(n: int, pairs: list[tuple[int, int]], seed: int) -> None:
    rows, columns = _pattern(n, pairs)
    dice = np.random.default_rng(seed)
    variants = 7
    entries = dice.normal(size=(len(rows), variants))
    entries[rows == columns] += np.where(dice.random(variants) < 0.5, 40.0, -40.0)
    r = dice.normal(size=(n, variants))
    late = dice.random(n) < 0.3
    found = Eliminated(Plan(n, rows, columns, late), entries).solve(r)
    full = np.zeros((variants, n, n))
    full[:, rows, columns] = entries.T
    expected = np.linalg.solve(full, r.T[..., None])[..., 0].T
    assert np.allclose(found, expected, rtol=1e-10, atol=1e-12)
    signs = np.linalg.slogdet(full).sign
    assert np.array_equal(Eliminated(Plan(n, rows, columns, late), entries).sign(), signs)
    assert np.array_equal(Dense(n, rows, columns, entries).sign(), signs)
    assert np.array_equal(Sparse(Ordering(n, rows, columns), entries).sign(), signs)


def test_a_singular_variant_gives_no_figures_and_spoils_no_other() -> None:
    plan = Plan(2, *_pattern(2, [(0, 1), (1, 0)]), np.zeros(2, dtype=bool))
    entries = np.ones((4, 2))
    entries[:, 1] = [2.0, 1.0, 1.0, 3.0]
    with np.errstate(invalid="ignore"):
        found = Eliminated(plan, entries).solve(np.ones((2, 2)))
    assert not np.isfinite(found[:, 0]).all()
    assert np.allclose(found[:, 1], [0.4, 0.2])


def test_speeds_come_after_the_pressures_that_work_on_them() -> None:
    """A rod between two chambers, of the least degree of all, still waits for both."""
    chambers = [{2, 3, 4}, {2, 3, 4}, {0, 1}, {0, 1}, {0, 1}]
    late = np.array([False, False, True, False, False])
    order = order_of(chambers, late)
    assert order.index(2) > max(order.index(0), order.index(1))


def test_a_row_of_junctions_gets_no_fill() -> None:
    n = 50
    rows, columns = _pattern(n, [(i, i + 1) for i in range(n - 1)])
    plan = Plan(n, np.append(rows, columns), np.append(columns, rows), np.zeros(n, dtype=bool))
    assert plan.size == n + 2 * (n - 1)
