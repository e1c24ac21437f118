"""Viscosity against temperature (ASTM D341) and the viscosity index (ASTM D2270).

Viscosities are in mm2/s in this file, as in both standards.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import numpy as np

from circuitcheck.basics.tables import read_csv

Array = np.ndarray[Any, np.dtype[np.float64]]

ZERO_DEGC = 273.15
LEAST_AT_100 = 2.0
"""The viscosity index is not defined for oils thinner than this at 100 degC [mm2/s]."""
THINNEST_AT_100 = 0.8
"""Down to here the index is extended for the thinnest grades [mm2/s]; own choice."""


def walther_lines(first: tuple[float, float], second: tuple[float, float]) -> tuple[float, float]:
    """Give A and B of the D341 line through two points (temperature [degC], nu [mm2/s]).

    Raises ``ValueError`` where the two points cannot belong to one oil.
    Source: ASTM D341, two-point form, read in a public calculation sheet of the method.
    """
    (cold, thick), (hot, thin) = sorted([first, second])
    if cold <= -ZERO_DEGC:
        raise ValueError(f"{cold:g} degC is below absolute zero")
    if thin <= 0:
        raise ValueError("a viscosity must be more than zero")
    if cold == hot:
        raise ValueError(f"both viscosities are given at {cold:g} degC; give two temperatures")
    if thin >= thick:
        raise ValueError(
            f"an oil gets thinner when it warms up: {thick:g} cSt at {cold:g} degC"
            f" and {thin:g} cSt at {hot:g} degC do not fit together"
        )
    x1, x2 = math.log10(cold + ZERO_DEGC), math.log10(hot + ZERO_DEGC)
    y1, y2 = float(loglog(np.array(thick))), float(loglog(np.array(thin)))
    B = (y1 - y2) / (x2 - x1)
    return y1 + B * x1, B


def loglog(nu: Array) -> Array:
    """Give log10 log10 Z(nu), the ordinate of D341.

    Z = nu + 0.7 + exp(-1.47 - 1.84 nu - 0.51 nu^2). The last term is meant for less than
    2 mm2/s and is kept for all: above, it changes Z by less than 0.03 %, and the law has
    no step. Validity: 0.21 mm2/s and more.
    """
    return np.asarray(np.log10(np.log10(nu + 0.7 + _thin_term(nu))))


ROUNDING = 4.0 * np.finfo(float).eps
"""Change of a viscosity that is rounding only, as a share."""


def viscosity(A: float, B: float, degC: Array) -> Array:
    """Give the kinematic viscosity [mm2/s] at temperatures [degC], same shape."""
    Z = 10.0 ** (10.0 ** (A - B * np.log10(degC + ZERO_DEGC)))
    nu = np.maximum(Z - 0.7, 0.05)
    # Newton on Z(nu) = Z, which rises everywhere; above 2 mm2/s the first step is enough.
    for _ in range(12):
        before, thin = nu, _thin_term(nu)
        nu = np.maximum(nu - (nu + 0.7 + thin - Z) / (1 - thin * (1.84 + 1.02 * nu)), 0.01)
        if np.all(np.abs(nu - before) <= ROUNDING * nu):
            break
    return np.asarray(nu)


def _thin_term(nu: Array) -> Array:
    return np.asarray(np.exp(-1.47 - 1.84 * nu - 0.51 * nu**2))


def viscosity_index(at_40: float, at_100: float) -> float:
    """Give the viscosity index (not rounded) from viscosities at 40 and 100 degC [mm2/s].

    Source: ASTM D2270-10(2016), procedures A and B, as carried by the library `chemicals`.
    Raises ``ValueError`` below 2 mm2/s at 100 degC, where the index is not defined.
    """
    if at_100 < LEAST_AT_100:
        raise ValueError(
            f"the viscosity index is not defined below {LEAST_AT_100:g} cSt at 100 degC"
        )
    L, H = _reference_oils(at_100)
    if at_40 >= H:
        return 100 * (L - at_40) / (L - H)
    N = (math.log10(H) - math.log10(at_40)) / math.log10(at_100)
    return float((10**N - 1) / 0.00715 + 100)


def at_40_from_index(at_100: float, index: float) -> float:
    """Give the viscosity at 40 degC of the oil of a given index and viscosity at 100 degC.

    Extended below 2 mm2/s at 100 degC, see `_reference_oils`.
    """
    L, H = _reference_oils(at_100)
    if index <= 100:
        return between_references(L, H, index)
    N = math.log10(0.00715 * (index - 100) + 1)
    return float(H / at_100**N)


def between_references(L: float, H: float, index: float) -> float:
    """Give the viscosity of an oil of that index between its reference oils: U.

    ``L`` of index 0, ``H`` of index 100, any unit, all at one temperature. The first form
    of the index (Dean and Davis), index = 100 (L - U)/(L - H); from memory.
    """
    return L - index / 100 * (L - H)


def at_100_from_index(at_40: float, index: float) -> float:
    """Give the viscosity at 100 degC from that at 40 degC and the index: D2270 inverted.

    Raises ``ValueError`` where the oil would be thinner than 0.8 mm2/s at 100 degC.
    """
    low, high = THINNEST_AT_100, 10 * LEAST_AT_100
    if at_40_from_index(low, index) > at_40:
        raise ValueError(
            f"the viscosity index is not defined for so thin an oil ({at_40:.3g} cSt at 40 degC);"
            " give two viscosities"
        )
    while at_40_from_index(high, index) < at_40:
        high *= 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if at_40_from_index(middle, index) < at_40 else (low, middle)
    return (low + high) / 2


def line_through(nu: float, degC: float, index: float) -> tuple[float, float]:
    """Give the D341 line of the oil of that index with viscosity ``nu`` [mm2/s] at ``degC``.

    Raises ``ValueError`` where no oil of that index has such a viscosity.
    """

    if degC <= -ZERO_DEGC:
        raise ValueError(f"{degC:g} degC is below absolute zero")

    def line(at_100: float) -> tuple[float, float]:
        at_40 = at_40_from_index(at_100, index)
        return walther_lines((40, at_40), (100, at_100))

    def reached(at_100: float) -> float:
        return float(viscosity(*line(at_100), np.asarray(degC)))

    low, high = LEAST_AT_100, 1e4
    if not reached(low) <= nu <= reached(high):
        raise ValueError(
            f"no oil of viscosity index {index:g} has {nu:.4g} cSt at {degC:g} degC;"
            " give two viscosities"
        )
    for _ in range(60):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if reached(middle) < nu else (low, middle)
    return line((low * high) ** 0.5)


def _reference_oils(at_100: float) -> tuple[float, float]:
    """Give L and H [mm2/s] of the reference oils with the same viscosity at 100 degC.

    Below 2 mm2/s, where the standard ends, its equations for 2 to 3.8 mm2/s are carried on
    (coefficients from memory; at 2 mm2/s they meet the table within 0.02 %): own choice.
    """
    if at_100 < LEAST_AT_100:
        return (
            1.14673 * at_100**2 + 1.7576 * at_100 - 0.109,
            0.84155 * at_100**2 + 1.5521 * at_100 - 0.077,
        )
    if at_100 > 70:
        return 0.8353 * at_100**2 + 14.67 * at_100 - 216, 0.1684 * at_100**2 + 11.85 * at_100 - 97
    at, L, H = _index_table()
    return float(np.interp(at_100, at, L)), float(np.interp(at_100, at, H))


@cache
def _index_table() -> tuple[Array, Array, Array]:
    rows = read_csv("fluids/viscosity_index.csv")
    at, L, H = (np.array([float(row[name]) for row in rows]) for name in ("at_100", "L", "H"))
    return at, L, H
