"""How the gas of an accumulator is put into the store law: ideal, or real nitrogen."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

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
        for _ in range(24):  # at 400 bar and cold, 0.45 of the error is left each time
            found = charge * warm * nitrogen.compressibility(degC, found) / before
    return np.asarray(found)


def real_gas(charge: Array, degC: Array, fast: bool) -> dict[str, Array]:
    """Coefficients of `laws.storage.Store` for nitrogen charged to ``charge`` [Pa abs].

    Shape (variants,). The logarithm of the volume is fitted over pressures up to eight
    times the charge (650 bar at most); the fit is within 0.5 % of the volume there.
    """
    names = ("exponent", "real1", "real2", "real3")
    return dict(zip(names, _each(_fit_fast if fast else _fit_slow, charge, degC), strict=True))


def _each(fit: Callable[[bytes], Array], charge: Array, degC: Array) -> Array:
    """Make a fit once for each pair of charge and temperature, (coefficients, variants).

    The steps of a cycle have the same gas, and so has every round in which they are solved.
    """
    pairs, place = np.unique(np.stack([charge, degC]), axis=1, return_inverse=True)
    found: Array = fit(pairs.tobytes())[:, place.ravel()]
    return found


def _pairs(kept: bytes) -> tuple[Array, Array]:
    charge, degC = np.frombuffer(kept).reshape(2, -1)
    return charge, degC


@lru_cache(maxsize=32)
def _fit_fast(pairs: bytes) -> Array:
    return _fit(*_pairs(pairs), fast=True)


@lru_cache(maxsize=32)
def _fit_slow(pairs: bytes) -> Array:
    return _fit(*_pairs(pairs), fast=False)


def _fit(charge: Array, degC: Array, *, fast: bool) -> Array:
    """Exponent, and what real gas adds over each reach, (4, pairs)."""
    ideal = 1.4 if fast else 1.0
    top = np.minimum(FITTED * charge, 650e5)
    pressure = charge[:, None] + np.maximum(top - charge, 1e5)[:, None] * SHARES
    rise = np.log(pressure / charge[:, None])
    left = nitrogen.volume_left(degC[:, None], charge[:, None], pressure, fast)
    terms = [-rise] + [1.0 - np.exp(-(pressure - charge[:, None]) / reach) for reach in REACHES]
    matrix = np.stack(terms, axis=-1)
    aim = np.log(left) + rise / ideal
    found = (np.linalg.pinv(matrix, rcond=CUT) @ aim[..., None])[..., 0]
    return np.stack([1.0 / (1.0 / ideal + found[:, 0]), *found[:, 1:].T])


def heating(charge: Array, degC: Array, real: bool) -> dict[str, Array]:
    """How the gas warms as it is squeezed: coefficients of `laws.warm_gas.WarmStore`.

    ln(theta) = kappa y + bend y^2, y = ln of the volume ratio: 0.4 y of an ideal gas. Of
    nitrogen so that its fast curve is met at 1.5 and 3.5 times the charge (absolute, 650 bar
    at most); theta there is the pressure over that of the slow curve at equal volume.
    """
    if not real:
        return {"kappa": np.full(charge.shape, 0.4), "bend": np.zeros(charge.shape)}
    kappa, bend = _each(_fit_heat, charge, degC)
    return {"kappa": kappa, "bend": bend}


@lru_cache(maxsize=32)
def _fit_heat(pairs: bytes) -> Array:
    """Kappa and bend, (2, pairs)."""
    charge, degC = _pairs(pairs)
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
    return np.stack([first - bend * squeezed[0], bend])


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
