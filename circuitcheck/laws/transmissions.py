"""Couplings between two shafts: gear, belt, clutch."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import Law, Slope, Stamp
from circuitcheck.laws.machines import STILL_SHAFT
from circuitcheck.laws.smoothing import Array, Smoothing, pos, sign

UNLIMITED = 1e9
"""Torque limit from which on a coupling never slips [N m]."""


class Coupling(Law):
    """Shaft 0 turns shaft 1 at 1/ratio of its speed, by a torque that may be limited.

    torque on shaft 1 = stiffness (w0/ratio - w1), held within +-limit; shaft 0 gives it
    through ratio and efficiency, in either direction of the power and of rotation: who
    drives is told by torque and speed of shaft 0. The stiffness [N m s] is so high that the
    speeds agree (`solver/shafts.py` sets it); an open clutch has none.
    """

    word = "coupling"
    terminals = 2
    values = ("torque in", "torque out")
    stamps = (Stamp(0, 0, -1.0), Stamp(1, 1, 1.0))
    slopes = (Slope(0, 0, 0), Slope(0, 1, 1), Slope(1, 0, 2), Slope(1, 1, 3))
    coefficients = MappingProxyType(
        {"ratio": 1.0, "efficiency": 1.0, "stiffness": 1e5, "limit": UNLIMITED}
    )

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        slip = x[0] / c["ratio"] - x[1]
        out, grip = _clipped(c["stiffness"] * slip, c["limit"], s)
        grip = c["stiffness"] * grip
        driving, ddriving = pos(out, s)
        driven, ddriven = pos(-out, s)
        still = STILL_SHAFT * s.creep
        way, dway = sign(x[0] / still, s)
        # 1/efficiency where shaft 0 drives, efficiency where it is driven; between, at rest
        mean = 0.5 * (1.0 / c["efficiency"] + c["efficiency"]) / c["ratio"]
        lost = 0.5 * (1.0 / c["efficiency"] - c["efficiency"]) / c["ratio"]
        taken = mean * (driving - driven) + lost * way * (driving + driven)
        dtaken = mean * (ddriving + ddriven) + lost * way * (ddriving - ddriven)
        turned = lost * dway / still * (driving + driven)
        value[0], value[1] = taken, out
        rows[0] = dtaken * grip / c["ratio"] + turned
        rows[1] = -dtaken * grip
        rows[2], rows[3] = grip / c["ratio"], -grip


def _clipped(torque: Array, limit: Array, s: Smoothing) -> tuple[Array, Array]:
    """Torque held within +-limit with rounded corners, and its derivative to the torque.

    What is cut off is taken from the torque itself: a share of the limit formed first would
    round off all torques that are small beside it.
    """
    z = torque / limit
    above, dabove = pos(z - 1.0, s)
    below, dbelow = pos(-z - 1.0, s)
    slips = limit < UNLIMITED
    held = np.where(slips, torque - limit * (above - below), torque)
    return held, np.where(slips, 1.0 - dabove - dbelow, 1.0)
