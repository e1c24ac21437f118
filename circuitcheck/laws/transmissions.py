"""Couplings between two shafts: gear, belt, clutch."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import Stamp
from circuitcheck.laws.smoothing import Array, Smoothing, pos, sign


class Coupling:
    """Shaft 0 turns shaft 1 at 1/ratio of its speed, by a torque that may be limited.

    torque on shaft 1 = stiffness (w0/ratio - w1), held within +-limit; shaft 0 gives it
    through ratio and efficiency, in either direction of the power. The stiffness [N m s]
    is so high that the speeds agree to about 1e-5; a clutch that is open has none.
    """

    word = "coupling"
    terminals = 2
    values = ("torque in", "torque out")
    stamps = (Stamp(0, 0, -1.0), Stamp(1, 1, 1.0))
    coefficients: Mapping[str, float] = MappingProxyType(
        {"ratio": 1.0, "efficiency": 1.0, "stiffness": 1e5, "limit": 1e9}
    )

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        slip = x[0] / c["ratio"] - x[1]
        stiffness = c["stiffness"] / s.creep
        way, dway = sign(stiffness * slip / c["limit"], s)
        out = c["limit"] * way
        grip = stiffness * dway
        driving, ddriving = pos(out, s)
        driven, ddriven = pos(-out, s)
        taken = (driving / c["efficiency"] - driven * c["efficiency"]) / c["ratio"]
        dtaken = (ddriving / c["efficiency"] + ddriven * c["efficiency"]) / c["ratio"]
        slope = np.stack(
            [
                np.stack([dtaken * grip / c["ratio"], -dtaken * grip]),
                np.stack([grip / c["ratio"], np.broadcast_to(-grip, out.shape)]),
            ]
        )
        return np.stack([taken, out]), slope
