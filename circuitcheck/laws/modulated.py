"""The opening that pressures work: relief, check, compensator, counterbalance, shuttle."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import BAR, PASSAGE
from circuitcheck.laws.passages import LAMINAR_START
from circuitcheck.laws.smoothing import Array, Smoothing, ramp

CONTROLS = 5

TINY = 1e-100
"""Keeps a drop of zero from being divided by; a square of it is still zero [Pa]."""


class Modulated:
    """A one-way opening from terminal 0 to 1, worked by up to five pressures.

    q = k y(z) f(dp) + leak dp, z = (offset + c0 p0 + ... + c4 p4)/band, y = z clipped to
    0..1, f(dp) the root for dp > 0 and zero below. k in [m3/(s Pa^0.5)], offset and band
    in [Pa]. It passes one way on purpose: an opening that also modulated its reverse flow
    would have false balances; a reverse path is an element of its own.
    """

    word = "modulated"
    terminals = CONTROLS
    values = ("flow", "opening")
    stamps = PASSAGE
    coefficients: Mapping[str, float] = MappingProxyType(
        {"k": 0.0, "leak": 0.0, "offset": 0.0, "band": BAR}
        | {f"c{i}": 0.0 for i in range(CONTROLS)}
    )

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        weights = [c[f"c{i}"] for i in range(CONTROLS)]
        band = c["band"] * s.widen
        leak = c["leak"] * s.creep
        z = c["offset"] + weights[0] * x[0]
        for weight, pressure in zip(weights[1:], x[1:], strict=True):
            if weight.any():
                z += weight * pressure
        z /= band
        y, dy = ramp(z, s)
        dp = x[0] - x[1]
        right = np.maximum(dp, 0.0)
        d2 = (LAMINAR_START * s.widen) ** 2
        square = right * right
        inner = square + d2
        root = np.sqrt(inner)
        f = square / (root * np.sqrt(root))  # to the power of 3/4, without the slow power
        df = f / np.maximum(right, TINY) * (0.5 * square + 2.0 * d2) / inner
        most = c["k"] * y
        through = most * df + leak
        turning = dy / band
        value = np.empty((2, *dp.shape))
        value[0] = most * f + leak * dp
        value[1] = y
        slope = np.zeros((2, CONTROLS, *dp.shape))
        bending = c["k"] * f * turning
        for i, weight in enumerate(weights):
            if weight.any():
                np.multiply(turning, weight, out=slope[1, i])
                np.multiply(bending, weight, out=slope[0, i])
        slope[0, 0] += through
        slope[0, 1] -= through
        return value, slope
