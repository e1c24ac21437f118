"""The opening that pressures work: relief, check, compensator, counterbalance, shuttle."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import BAR, PASSAGE
from circuitcheck.laws.passages import LAMINAR_START
from circuitcheck.laws.smoothing import Array, Smoothing, ramp

CONTROLS = 5


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
        weights = np.stack([np.broadcast_to(c[f"c{i}"], x.shape[1:]) for i in range(CONTROLS)])
        band = c["band"] * s.widen
        leak = c["leak"] * s.creep
        z = (c["offset"] + np.einsum("tev,tev->ev", weights, x)) / band
        y, dy = ramp(z, s)
        dp = x[0] - x[1]
        right = np.maximum(dp, 0.0)
        d2 = (LAMINAR_START * s.widen) ** 2
        inner = right * right + d2
        f = right * right * inner**-0.75
        df = right * (0.5 * right * right + 2.0 * d2) * inner**-1.75
        flow = c["k"] * y * f + leak * dp
        through = c["k"] * y * df + leak
        turning = dy / band
        value = np.stack([flow, np.broadcast_to(y, flow.shape)])
        slope = np.empty((2, CONTROLS, *flow.shape))
        slope[1] = turning * weights
        slope[0] = c["k"] * f * slope[1]
        slope[0, 0] += through
        slope[0, 1] -= through
        return value, slope
