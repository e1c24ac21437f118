"""Bores: sharp-edged holes and short tubes, whose coefficient depends on Reynolds number."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import BY_DROP, PASSAGE, Law
from circuitcheck.laws.passages import rounded_root
from circuitcheck.laws.smoothing import Array, Smoothing


class Hole(Law):
    """A sharp edge that is viscous at low flow: q = k dp/(dp^2 + start^2)^(1/4).

    k in [m3/(s Pa^0.5)]; ``start`` [Pa] is the drop about which the law passes from the
    straight line q = k dp/root(start) to the root, so that it grows with viscosity.
    """

    word = "hole"
    terminals = 2
    values = ("flow",)
    stamps = PASSAGE
    slopes = BY_DROP
    coefficients = MappingProxyType({"k": 0.0, "start": 1e4})

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        dp = x[0] - x[1]
        rounded_root(dp, c["k"], (c["start"] * s.widen) ** 2, value[0], rows[0])


DEVELOPED, DEVELOPING = 40.0, 60.0
"""Re d/L between which the two branches are blended; they meet at 50, 2 % apart."""

PASSES = 14
"""Newton passes on the developing flow; it converges from above, quadratically."""


def loss(u: Array) -> tuple[Array, Array]:
    """Loss number times u^2 of a short tube and its derivative, u = Re d/L >= 0.

    2.28 + 64/u below u = 50, 1.5 + 13.74/root(u) above (Rabie, Fluid Power Engineering,
    pages 50 and 51, quoting Merritt 1967), blended from 40 to 60.
    """
    slow, dslow = 2.28 * u * u + 64.0 * u, 4.56 * u + 64.0
    root = np.sqrt(u)
    fast, dfast = 1.5 * u * u + 13.74 * u * root, 3.0 * u + 20.61 * root
    t = np.clip((u - DEVELOPED) / (DEVELOPING - DEVELOPED), 0.0, 1.0)
    share = t * t * (3.0 - 2.0 * t)
    dshare = 6.0 * t * (1.0 - t) / (DEVELOPING - DEVELOPED)
    value = slow + share * (fast - slow)
    return value, dslow + share * (dfast - dslow) + dshare * (fast - slow)


def developing(target: Array) -> tuple[Array, Array]:
    """Give u where ``loss`` reaches the target (>= 0), and the derivative of it there."""
    u = np.minimum(target / 64.0, np.sqrt(target / 1.5))
    for _ in range(PASSES):
        value, slope = loss(u)
        u = np.maximum(u - (value - target) / slope, 0.0)
    return u, 1.0 / loss(u)[1]


class Tube(Law):
    """A short tube or capillary of round bore, from creeping to developing flow.

    dp = rho/2 (q/A)^2 (loss number), with the loss number of `loss`. ``d`` and ``length``
    in [m], ``rho`` [kg/m3], ``nu`` [m2/s]. In the straight part at low flow it is
    Hagen-Poiseuille with a term for the entry.
    """

    word = "tube"
    terminals = 2
    values = ("flow", "developing")
    stamps = PASSAGE
    slopes = BY_DROP
    coefficients = MappingProxyType({"d": 1e-3, "length": 1e-2, "rho": 870.0, "nu": 32e-6})

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        dp = x[0] - x[1]
        # q in units of `each` is u, dp in units of `press` is the loss of u
        each = 0.25 * np.pi * c["nu"] * c["length"]
        press = 0.5 * c["rho"] * (c["nu"] * c["length"] / c["d"] ** 2) ** 2
        u, slope = developing(np.abs(dp) / press)
        value[0] = np.sign(dp) * u * each
        value[1:] = u
        rows[0] = slope / press * each
