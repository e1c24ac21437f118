"""The opening that pressures work: relief, check, compensator, counterbalance, shuttle."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import BAR, BY_DROP, PASSAGE, Law, Slope
from circuitcheck.laws.passages import LAMINAR_START
from circuitcheck.laws.smoothing import Array, Smoothing, ramp

CONTROLS = 5

WEIGHTS = tuple(f"c{i}" for i in range(CONTROLS))


class Modulated(Law):
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
    slopes = (*BY_DROP, *(Slope(0, i, 1, times=name) for i, name in enumerate(WEIGHTS)))
    coefficients = MappingProxyType(
        {"k": 0.0, "leak": 0.0, "offset": 0.0, "band": BAR} | dict.fromkeys(WEIGHTS, 0.0)
    )

    def prepared(self, c: Mapping[str, Array], variants: int) -> Mapping[str, Array]:
        """Tell which controls have a weight at all, and how steeply the opening grows."""
        controls = np.array(_weighted(c), dtype=float)[:, None]
        return {"controls": controls, "steep": c["k"] / c["band"]}

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        controls = _told(c["controls"].tobytes()) if "controls" in c else _weighted(c)
        steep = c["steep"] if "steep" in c else c["k"] / c["band"]
        leak = c["leak"]
        if s.creep != 1.0:
            leak = leak * s.creep
        flow, through, bending = value[0], rows[0], rows[1]
        z = np.empty_like(flow)
        z[...] = c["offset"]
        for i in controls:
            z += np.multiply(x[i], c[WEIGHTS[i]], out=flow)
        z /= c["band"]
        if s.widen != 1.0:
            z /= s.widen
            steep = steep / s.widen
        y, dy = ramp(z, s)
        if len(value) > 1:
            value[1] = y
        dp = np.subtract(x[0], x[1], out=z)
        # f = dp^2/(dp^2 + d^2)^(3/4), the power by roots: pow is slow
        d2 = (LAMINAR_START * s.widen) ** 2
        right = np.maximum(dp, 0.0)
        square = right * right
        inner = square + d2
        root = np.sqrt(inner)
        power = np.sqrt(root, out=flow)
        power *= root
        f = np.divide(square, power, out=root)
        square *= 0.5
        square += 2.0 * d2
        square *= right
        inner *= power
        np.divide(square, inner, out=through)
        y *= c["k"]
        through *= y
        through += leak
        np.multiply(f, dy, out=bending)
        bending *= steep
        np.multiply(f, y, out=flow)
        dp *= leak
        flow += dp


@lru_cache(maxsize=100)
def _told(controls: bytes) -> list[int]:
    """Controls as they are kept among the coefficients."""
    return [int(number) for number in np.frombuffer(controls)]


def _weighted(c: Mapping[str, Array]) -> list[int]:
    """Controls that have a weight in any element and variant."""
    return [i for i, weight in enumerate(WEIGHTS) if c[weight].any()]
