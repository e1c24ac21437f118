"""How oil is pressed together: with air in it, and what a closed volume loses."""

from __future__ import annotations

from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]

ATMOSPHERE = 1.01325e5
"""Standard atmosphere [Pa]; ISO 2533."""

FAST = 1.4
"""Exponent of air that is pressed so fast that it keeps its heat; 1 is slow."""


def with_air(
    modulus: Array | float, pressure: Array | float, air: Array | float, exponent: float = FAST
) -> Array:
    """Bulk modulus at a pressure (tangent) of oil with undissolved air [Pa]; broadcasts.

    1/K = (1 - air)/modulus + air (p0/p)^(1/exponent)/(exponent p), absolute pressures;
    ``air`` is the share of volume at atmospheric pressure, ``pressure`` [Pa gauge],
    ``modulus`` that of oil without air. Air that goes into solution under pressure is left
    out, which is on the soft side. Raises ``ValueError`` at or below vacuum, or for a
    share of air outside 0 to 1. Source: textbook form (Merritt 1967), from memory.
    """
    absolute, share = _checked(pressure, air)
    bubbles = share * (ATMOSPHERE / absolute) ** (1.0 / exponent) / (exponent * absolute)
    return np.asarray(1.0 / ((1.0 - share) / np.asarray(modulus) + bubbles))


def secant_with_air(
    modulus: Array | float, pressure: Array | float, air: Array | float, exponent: float = FAST
) -> Array:
    """Mean bulk modulus from no pressure to a pressure (secant) of oil with air [Pa].

    The volume left is (1 - air)(1 - p/modulus) + air (p0/p)^(1/exponent): oil and bubbles
    pressed side by side. ``modulus`` is the secant modulus of oil without air; the rest as
    in `with_air`, errors too.
    """
    absolute, share = _checked(pressure, air)
    # ln(absolute/p0)/p goes to 1/p0 at no pressure, where the quotient has no value
    p = np.where(np.abs(absolute - ATMOSPHERE) < 1e-3, 1e-3, absolute - ATMOSPHERE)
    bubbles = -share * np.expm1(-np.log1p(p / ATMOSPHERE) / exponent) / p
    return np.asarray(1.0 / ((1.0 - share) / np.asarray(modulus) + bubbles))


def _checked(pressure: Array | float, air: Array | float) -> tuple[Array, Array]:
    """Give the absolute pressure and the share of air; ``ValueError`` where one cannot be."""
    absolute = np.asarray(pressure, dtype=float) + ATMOSPHERE
    share = np.asarray(air, dtype=float)
    if np.any(absolute <= 0.0):
        raise ValueError("a pressure is at or below vacuum")
    if np.any((share < 0.0) | (share >= 1.0)):
        raise ValueError("the share of air lies between 0 and 1")
    return absolute, share


def compression(
    volume: Array | float, before: Array | float, after: Array | float, modulus: Array | float
) -> Array:
    """Change of a closed volume of oil [m3], negative where it gets less.

    From a pressure to another [Pa] at a bulk modulus [Pa]: dV = -V dp/K, textbook.
    """
    return np.asarray(-np.asarray(volume) * (np.asarray(after) - before) / np.asarray(modulus))
