"""How well a heat exchanger uses the difference of its inlets: effectiveness from NTU.

NTU = UA/C_min, ratio = C_min/C_max, C = heat capacity of a stream [W/K]. Textbook forms
(Incropera, Fundamentals of Heat and Mass Transfer, table 11.3), from memory; that for
crossed streams is an approximation, good to some 3 %.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.laws.smoothing import Array

PATTERNS = ("counterflow", "parallel flow", "shell and tube", "crossflow")

MOST_NTU = 50.0
"""An exchanger with more is as good as an endless one; own choice."""


def effectiveness(ntu: Array, ratio: Array, pattern: str) -> Array:
    """Heat taken over the most that the two streams allow; shapes broadcast."""
    ratio = np.maximum(ratio, 1e-9)
    if pattern == "parallel flow":
        return np.asarray(-np.expm1(-ntu * (1.0 + ratio)) / (1.0 + ratio))
    if pattern == "counterflow":
        left = -np.expm1(-ntu * (1.0 - ratio))
        even = np.abs(1.0 - ratio) < 1e-6  # the form below is 0/0 there
        found = left / np.where(even, 1.0, 1.0 - ratio * np.exp(-ntu * (1.0 - ratio)))
        return np.asarray(np.where(even, ntu / (1.0 + ntu), found))
    if pattern == "shell and tube":
        root = np.sqrt(1.0 + ratio**2)
        return np.asarray(2.0 / (1.0 + ratio + root / np.tanh(0.5 * np.maximum(ntu, 1e-9) * root)))
    power = ntu**0.22 / ratio
    return np.asarray(-np.expm1(power * np.expm1(-ratio * ntu**0.78)))


def transfer_units(share: Array, ratio: Array, pattern: str) -> Array:
    """NTU at which the effectiveness is ``share``; NaN where none reaches it."""
    share, ratio = np.broadcast_arrays(np.asarray(share, dtype=float), ratio)
    low, high = np.full(share.shape, 1e-9), np.full(share.shape, MOST_NTU)
    reached = effectiveness(high, ratio, pattern) >= share
    for _ in range(60):
        middle = np.sqrt(low * high)
        short = effectiveness(middle, ratio, pattern) < share
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return np.where(reached, high, np.nan)
