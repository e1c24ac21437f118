"""How oil is pressed together: with air in it, and what a closed volume loses."""

from __future__ import annotations

from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]

ATMOSPHERE = 1.01325e5
"""Standard atmosphere [Pa]; ISO 2533."""


def with_air(
    modulus: Array | float, pressure: Array | float, air: Array | float, exponent: float = 1.4
) -> Array:
    """Bulk modulus of oil with undissolved air [Pa]; arrays that broadcast.

    1/K = (1 - air)/modulus + air (p0/p)^(1/exponent)/(exponent p), absolute pressures;
    ``air`` is the share of volume at atmospheric pressure, ``pressure`` [Pa gauge],
    ``exponent`` 1.4 fast, 1 slow. Air that goes into solution under pressure is left
    out, which is on the soft side. Raises ``ValueError`` at or below vacuum, or for a
    share of air outside 0 to 1. Source: textbook form (Merritt 1967), from memory.
    """
    absolute = np.asarray(pressure, dtype=float) + ATMOSPHERE
    share = np.asarray(air, dtype=float)
    if np.any(absolute <= 0.0):
        raise ValueError("a pressure is at or below vacuum")
    if np.any((share < 0.0) | (share >= 1.0)):
        raise ValueError("the share of air lies between 0 and 1")
    bubbles = share * (ATMOSPHERE / absolute) ** (1.0 / exponent) / (exponent * absolute)
    return np.asarray(1.0 / ((1.0 - share) / np.asarray(modulus) + bubbles))


def compression(
    volume: Array | float, before: Array | float, after: Array | float, modulus: Array | float
) -> Array:
    """Change of a closed volume of oil [m3], negative where it gets less.

    From a pressure to another [Pa] at a bulk modulus [Pa]: dV = -V dp/K, textbook.
    """
    return np.asarray(-np.asarray(volume) * (np.asarray(after) - before) / np.asarray(modulus))
