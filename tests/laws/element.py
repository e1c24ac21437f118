"""One element of a law, its values and slopes as plain figures."""

from __future__ import annotations

import numpy as np

from circuitcheck.laws.library import LAWS
from circuitcheck.laws.smoothing import EXACT, Array, Smoothing

BAR, L_MIN = 1e5, 1e-3 / 60


def values(word: str, x: list[float], s: Smoothing = EXACT, **figures: float | Array) -> Array:
    """Give all values of one element, in the order of the law."""
    law = LAWS[word]
    c = {name: np.asarray(value, dtype=float) for name, value in law.coefficients.items()}
    c |= {name: np.asarray(value, dtype=float) for name, value in figures.items()}
    c = {name: value if value.ndim else value.reshape(1, 1) for name, value in c.items()}
    found, _ = law.evaluate(np.array(x, dtype=float).reshape(law.terminals, 1, 1), c, s)
    return found[:, 0, 0]
