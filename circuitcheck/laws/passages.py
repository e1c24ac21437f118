"""Passages that pass both ways: laminar gap, resistor of two terms, orifice."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import BAR, BY_DROP, PASSAGE, Law, Slope
from circuitcheck.laws.smoothing import Array, Smoothing

LAMINAR_START = 0.1 * BAR
"""Drop below which an orifice passes from root to straight line [Pa]; own choice: the
law is 0.25 % below the pure root at 1 bar."""


class Gap(Law):
    """A laminar leakage path: q = g dp, g in [m3/(s Pa)]."""

    word = "gap"
    terminals = 2
    values = ("flow",)
    stamps = PASSAGE
    slopes = (Slope(0, 0, None, times="g"), Slope(0, 1, None, -1.0, "g"))
    coefficients = MappingProxyType({"g": 0.0})

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        np.subtract(x[0], x[1], out=value[0])
        value[0] *= c["g"]


class Resistor(Law):
    """A laminar and a turbulent term in series: dp = r1 q + r2 q abs(q).

    r1 in [Pa s/m3], r2 in [Pa s2/m6]; solved for q, so it holds a finite slope at zero.
    """

    word = "resistor"
    terminals = 2
    values = ("flow",)
    stamps = PASSAGE
    slopes = BY_DROP
    coefficients = MappingProxyType({"r1": 1.0, "r2": 0.0})

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        dp = x[0] - x[1]
        root = np.abs(dp, out=rows[0])
        root *= 4.0 * c["r2"]
        root += c["r1"] ** 2
        np.sqrt(root, out=root)
        np.add(root, c["r1"], out=value[0])
        np.divide(dp, value[0], out=value[0])
        value[0] *= 2.0
        np.divide(1.0, root, out=root)


def rounded_root(dp: Array, k: Array, d2: Array | float, value: Array, slope: Array) -> None:
    """Fill in k dp/(dp^2 + d2)^(1/4) and its derivative to dp."""
    square = dp * dp
    inner = square + d2
    root = np.sqrt(inner, out=value)
    np.sqrt(root, out=root)
    square *= 0.5
    square += d2
    inner *= root
    np.divide(square, inner, out=slope)
    slope *= k
    np.divide(dp, root, out=value)
    value *= k


class Orifice(Law):
    """A fixed opening: q = k dp/(dp^2 + d^2)^(1/4) + leak dp.

    k in [m3/(s Pa^0.5)], leak in [m3/(s Pa)]. Turbulent root with a straight start.
    """

    word = "orifice"
    terminals = 2
    values = ("flow",)
    stamps = PASSAGE
    slopes = BY_DROP
    coefficients = MappingProxyType({"k": 0.0, "leak": 0.0})

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        dp = x[0] - x[1]
        rounded_root(dp, c["k"], (LAMINAR_START * s.widen) ** 2, value[0], rows[0])
        dp *= c["leak"]
        value[0] += dp
        rows[0] += c["leak"]
