"""What a law reckons beforehand, and what it is not asked for, change none of its values."""

from __future__ import annotations

import numpy as np
import pytest

from circuitcheck.laws._law import Prepares
from circuitcheck.laws.library import LAWS
from circuitcheck.laws.smoothing import EXACT, Array, Smoothing
from tests.laws.test_derivatives import CASES

SMOOTHINGS = [EXACT, Smoothing(0.3, tails=True, widen=100.0, creep=1e3)]


def drawn(word: str, elements: int, variants: int) -> tuple[Array, dict[str, Array]]:
    rng = np.random.default_rng(7)
    shape = (6, 4)
    points, figures = CASES[word](lambda low, high: rng.uniform(low, high, shape))
    c = {name: np.asarray(value) for name, value in LAWS[word].coefficients.items()} | figures
    wide = {
        name: np.repeat(np.broadcast_to(v, np.broadcast_shapes(v.shape, shape)), variants // 4, -1)
        for name, v in c.items()
    }
    return np.repeat(np.stack(points), variants // 4, axis=-1), wide


@pytest.mark.parametrize("s", SMOOTHINGS)
@pytest.mark.parametrize("word", [word for word, law in LAWS.items() if isinstance(law, Prepares)])
def test_prepared_figures_give_the_same(word: str, s: Smoothing) -> None:
    law = LAWS[word]
    x, c = drawn(word, 6, 120)
    assert isinstance(law, Prepares)
    more = law.prepared(c, 120)
    assert more
    for plain, found in zip(law.evaluate(x, c, s), law.evaluate(x, {**c, **more}, s), strict=True):
        assert np.array_equal(plain, found)


@pytest.mark.parametrize("s", SMOOTHINGS)
@pytest.mark.parametrize("word", LAWS)
def test_values_that_are_not_asked_for_may_be_left_out(word: str, s: Smoothing) -> None:
    """The solver asks for the values that enter balances, and for the rows."""
    law = LAWS[word]
    x, c = drawn(word, 6, 4)
    whole, rows = (np.full((n, 6, 4), np.nan) for n in (len(law.values), law.rows))
    law.fill(x, c, s, whole, rows)
    assert np.all(np.isfinite(whole))
    few, same = np.empty((law.used, 6, 4)), np.empty_like(rows)
    law.fill(x, c, s, few, same)
    assert np.array_equal(few, whole[: law.used])
    assert np.array_equal(same, rows)


@pytest.mark.parametrize("variants", [99, 100])
def test_a_line_of_one_size_is_laid_as_a_curve_once_it_pays(variants: int) -> None:
    """From 100 variants on; where the bore varies the search stays."""
    law = LAWS["pipe"]
    assert isinstance(law, Prepares)
    c = {name: np.array([[value]]) for name, value in law.coefficients.items()}
    c["minor"] = np.array([[2.0]])
    c["head"] = np.array([[0.3e5]])
    x = np.stack([np.geomspace(1e2, 4e7, variants)[None], np.zeros((1, variants))])
    more = law.prepared(c, variants)
    assert ("pieces" in more) is (variants >= 100)
    plain, found = law.evaluate(x, c, EXACT), law.evaluate(x, {**c, **more}, EXACT)
    assert np.allclose(found[0], plain[0], rtol=1e-9, atol=0.0)
    assert np.allclose(found[1], plain[1], rtol=1e-6, atol=0.0)
    for name in ("d", "length", "minor", "rough"):
        varied = c | {name: np.linspace(1.0, 1.2, variants)[None] * (c[name] + 1e-4)}
        assert "pieces" not in law.prepared(varied, variants)
