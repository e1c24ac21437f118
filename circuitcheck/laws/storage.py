"""Oil stored behind gas or a spring: what a store takes in over a step."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import BAR, Law, Slope, Stamp
from circuitcheck.laws.smoothing import Array, Smoothing, pos, ramp

ATMOSPHERE = 1.01325 * BAR
"""Standard atmosphere [Pa]; ISO 2533."""

REACHES = (100 * BAR, 300 * BAR, 900 * BAR)
"""Pressures over which the three terms of a real gas settle [Pa]; own choice of form."""


def squeeze(absolute: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
    """ln(volume/gas volume) at an absolute pressure [Pa], and its derivative [1/Pa].

    ``c`` has charge, exponent and real1 to real3 as in `Store`.
    """
    above, dabove = pos(absolute / c["charge"] - 1.0, s)
    over = c["charge"] * above
    fades = [np.exp(-over / reach) for reach in REACHES]
    real = [c["real1"], c["real2"], c["real3"]]
    turn = sum(r * (1.0 - fade) for r, fade in zip(real, fades, strict=True))
    dturn = sum(r * f / p for r, f, p in zip(real, fades, REACHES, strict=True)) * c["charge"]
    slope = (1.0 / ((1.0 + above) * c["exponent"]) - dturn) * dabove / c["charge"]
    return np.log1p(above) / c["exponent"] - turn, slope


class Store(Law):
    """A store at the pressure it reaches at the end of the step (terminal 0).

    Oil held by gas: volume (1 - (charge/p)^(1/exponent) exp(r)), absolute pressures, none
    below the charge; r = sum of real_i (1 - exp(-(p - charge)/REACHES_i)), zero for an
    ideal gas. Oil held by a spring: from none at ``low`` to ``swept`` at ``high``. The
    flow in is (held - start) rate, rate being one over the duration of the step; zero
    where the step has no duration. Volumes [m3], pressures [Pa], rate [1/s].
    """

    word = "store"
    terminals = 1
    values = ("flow", "held")
    stamps = (Stamp(0, 0, -1.0),)
    slopes = (Slope(0, 0, 0, times="rate"),)
    coefficients = MappingProxyType(
        {"volume": 0.0, "charge": BAR, "exponent": 1.4, "start": 0.0, "rate": 0.0}
        | {"real1": 0.0, "real2": 0.0, "real3": 0.0}
        | {"swept": 0.0, "low": BAR, "high": 2 * BAR}
    )

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        squeezed, dsqueezed = squeeze(x[0] + ATMOSPHERE, c, s)
        gas = c["volume"] * -np.expm1(-squeezed)
        dgas = c["volume"] * np.exp(-squeezed) * dsqueezed
        span = c["high"] - c["low"]
        share, dshare = ramp((x[0] - c["low"]) / span, s)
        held = gas + c["swept"] * share
        value[0] = (held - c["start"]) * c["rate"]
        value[1:] = held
        rows[0] = dgas + c["swept"] * dshare / span
