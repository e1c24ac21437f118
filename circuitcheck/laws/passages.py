"""Passages that pass both ways: laminar gap, resistor of two terms, orifice."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import BAR, PASSAGE
from circuitcheck.laws.smoothing import Array, Smoothing

LAMINAR_START = 0.1 * BAR
"""Drop below which an orifice passes from root to straight line [Pa]; own choice: the
law is 0.25 % below the pure root at 1 bar."""


def _both_ways(q: Array, dq: Array) -> tuple[Array, Array]:
    return q[None], np.stack([dq, -dq])[None]


class Gap:
    """A laminar leakage path: q = g dp, g in [m3/(s Pa)]."""

    word = "gap"
    terminals = 2
    values = ("flow",)
    stamps = PASSAGE
    coefficients: Mapping[str, float] = MappingProxyType({"g": 0.0})

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        dp = x[0] - x[1]
        slope = np.broadcast_to(c["g"], dp.shape)
        return _both_ways(slope * dp, slope)


class Resistor:
    """A laminar and a turbulent term in series: dp = r1 q + r2 q abs(q).

    r1 in [Pa s/m3], r2 in [Pa s2/m6]; solved for q, so it holds a finite slope at zero.
    """

    word = "resistor"
    terminals = 2
    values = ("flow",)
    stamps = PASSAGE
    coefficients: Mapping[str, float] = MappingProxyType({"r1": 1.0, "r2": 0.0})

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        dp = x[0] - x[1]
        root = np.sqrt(c["r1"] ** 2 + 4.0 * c["r2"] * np.abs(dp))
        return _both_ways(2.0 * dp / (c["r1"] + root), 1.0 / root)


class Orifice:
    """A fixed opening: q = k dp/(dp^2 + d^2)^(1/4) + leak dp.

    k in [m3/(s Pa^0.5)], leak in [m3/(s Pa)]. Turbulent root with a straight start.
    """

    word = "orifice"
    terminals = 2
    values = ("flow",)
    stamps = PASSAGE
    coefficients: Mapping[str, float] = MappingProxyType({"k": 0.0, "leak": 0.0})

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        dp = x[0] - x[1]
        d2 = (LAMINAR_START * s.widen) ** 2
        square = dp * dp
        root = np.sqrt(np.sqrt(square + d2))
        q = c["k"] * dp / root + c["leak"] * dp
        slope = c["k"] * (0.5 * square + d2) / (root * (square + d2)) + c["leak"]
        return _both_ways(q, slope)
