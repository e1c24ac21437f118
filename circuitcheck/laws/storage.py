"""Oil stored behind gas or a spring: what a store takes in over a step."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import BAR, Stamp
from circuitcheck.laws.smoothing import Array, Smoothing, pos, ramp

ATMOSPHERE = 1.01325 * BAR
"""Standard atmosphere [Pa]; ISO 2533."""


class Store:
    """A store at the pressure it reaches at the end of the step (terminal 0).

    Oil held by gas: volume (1 - (charge/p)^(1/exponent)), absolute pressures, none below
    the charge; oil held by a spring: from none at ``low`` to ``swept`` at ``high``. The
    flow in is (held - start) rate, rate being one over the duration of the step; zero
    where the step has no duration. Volumes [m3], pressures [Pa], rate [1/s].
    """

    word = "store"
    terminals = 1
    values = ("flow", "held")
    stamps = (Stamp(0, 0, -1.0),)
    coefficients: Mapping[str, float] = MappingProxyType(
        {"volume": 0.0, "charge": BAR, "exponent": 1.4, "start": 0.0, "rate": 0.0}
        | {"swept": 0.0, "low": BAR, "high": 2 * BAR}
    )

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        absolute = x[0] + ATMOSPHERE
        above, dabove = pos(absolute / c["charge"] - 1.0, s)
        left = (1.0 + above) ** (-1.0 / c["exponent"])
        gas = c["volume"] * (1.0 - left)
        dgas = c["volume"] * left / ((1.0 + above) * c["exponent"]) * dabove / c["charge"]
        span = c["high"] - c["low"]
        share, dshare = ramp((x[0] - c["low"]) / span, s)
        held = gas + c["swept"] * share
        slope = dgas + c["swept"] * dshare / span
        value = np.stack([(held - c["start"]) * c["rate"], held])
        return value, np.stack([slope * c["rate"], slope])[:, None]
