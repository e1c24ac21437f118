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


def heating(charge: Array, degC: Array, real: bool) -> dict[str, Array]:
    """How the gas warms as it is squeezed: coefficients of `laws.warm_gas.WarmStore`.

    ln(theta) = kappa y + bend y^2, y = ln of the volume ratio: 0.4 y of an ideal gas. Of
    nitrogen so that its fast curve is met at 1.5 and 3.5 times the charge (absolute, 650 bar
    at most); theta there is the pressure over that of the slow curve at equal volume.
    """
    if not real:
        return {"kappa": np.full(charge.shape, 0.4), "bend": np.zeros(charge.shape)}
    high = np.minimum(charge * np.array([[1.5], [3.5]]), 650e5)
    left = nitrogen.volume_left(degC, charge, high, fast=True)
    low, top = np.broadcast_to(charge, high.shape), high
    for _ in range(50):
        middle = np.sqrt(low * top)
        wide = nitrogen.volume_left(degC, charge, middle, fast=False) > left
        low, top = np.where(wide, middle, low), np.where(wide, top, middle)
    squeezed = -np.log(left)
    first, second = np.log(high / top) / squeezed
    bend = (second - first) / (squeezed[1] - squeezed[0])
    return {"kappa": first - bend * squeezed[0], "bend": bend}


def temperature(wall: Array, pressure: Array, theta: Array, real: bool) -> Array:
    """Temperature [degC] of gas at ``theta`` times the pressure that it has at ``wall`` [degC].

    At equal volume; absolute pressure [Pa].
    """
    ideal = (wall + nitrogen.ZERO_DEGC) * theta
    if not real:
        return np.asarray(ideal - nitrogen.ZERO_DEGC)
    aim = ideal * nitrogen.compressibility(wall, pressure / theta)
    found = ideal
    for _ in range(12):
        found = aim / nitrogen.compressibility(found - nitrogen.ZERO_DEGC, pressure)
    return np.asarray(found - nitrogen.ZERO_DEGC)
