"""How the gas of an accumulator is put into the store law: ideal, or real nitrogen."""

from __future__ import annotations

import numpy as np

from circuitcheck.fluid import nitrogen
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.storage import REACHES

FITTED = 8.0
"""Ratio of pressure to charge up to which real gas is fitted; 4 is the most for bladders."""

SHARES = np.linspace(0.0, 1.0, 25)[1:]

CUT = 1e-3
"""Parts of the fit that the range does not decide are left out; own choice."""


def warmed_charge(charge: Array, filled: Array, degC: Array, real: bool) -> Array:
    """Absolute charge [Pa] at ``degC`` of gas that was filled in at ``filled`` [degC].

    The bottle keeps its volume: p/(Z T) is constant.
    """
    warm = (degC + nitrogen.ZERO_DEGC) / (filled + nitrogen.ZERO_DEGC)
    found = charge * warm
    if real:
        before = nitrogen.compressibility(filled, charge)
        for _ in range(8):
            found = charge * warm * nitrogen.compressibility(degC, found) / before
    return np.asarray(found)


def real_gas(charge: Array, degC: Array, fast: bool) -> dict[str, Array]:
    """Coefficients of `laws.storage.Store` for nitrogen charged to ``charge`` [Pa abs].

    Shape (variants,). The logarithm of the volume is fitted over pressures up to eight
    times the charge (650 bar at most); the fit is within 0.5 % of the volume there.
    """
    ideal = 1.4 if fast else 1.0
    top = np.minimum(FITTED * charge, 650e5)
    pressure = charge[:, None] + np.maximum(top - charge, 1e5)[:, None] * SHARES
    rise = np.log(pressure / charge[:, None])
    left = nitrogen.volume_left(degC[:, None], charge[:, None], pressure, fast)
    terms = [-rise] + [1.0 - np.exp(-(pressure - charge[:, None]) / reach) for reach in REACHES]
    matrix = np.stack(terms, axis=-1)
    aim = np.log(left) + rise / ideal
    found = (np.linalg.pinv(matrix, rcond=CUT) @ aim[..., None])[..., 0]
    names = ("real1", "real2", "real3")
    return {"exponent": 1.0 / (1.0 / ideal + found[:, 0])} | {
        name: found[:, i + 1] for i, name in enumerate(names)
    }
