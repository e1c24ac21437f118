"""Nitrogen in accumulators: volume against pressure, slow (isothermal) or fast (adiabatic)."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from circuitcheck.basics.tables import read_csv

if TYPE_CHECKING:
    from scipy.interpolate import RectBivariateSpline

Array = np.ndarray[Any, np.dtype[np.float64]]

ZERO_DEGC = 273.15
COLDEST, HOTTEST = -40.0, 400.0
"""Ends of the table [degC]."""
LEAST, MOST = 1e5, 700e5
"""Ends of the table [Pa abs]."""


@cache
def _table() -> tuple[RectBivariateSpline, RectBivariateSpline]:
    """Z and entropy over (degC, ln bar), as cubic splines."""
    from scipy.interpolate import RectBivariateSpline  # slow to load, for accumulators only

    rows = read_csv("fluids/nitrogen.csv")
    warm = np.unique([float(row["degC"]) for row in rows])
    high = np.unique([float(row["bar"]) for row in rows])
    Z = np.array([float(row["Z"]) for row in rows]).reshape(len(warm), len(high))
    S = np.array([float(row["S"]) for row in rows]).reshape(len(warm), len(high))
    return (
        RectBivariateSpline(warm, np.log(high), Z),
        RectBivariateSpline(warm, np.log(high), S),
    )


def compressibility(degC: Array, pressure: Array) -> Array:
    """Z = p v/(R T) at temperatures [degC] and absolute pressures [Pa], same shape."""
    return np.asarray(_table()[0].ev(degC, np.log(np.asarray(pressure) / 1e5)))


def adiabatic_temperature(degC: Array, charge: Array, pressure: Array) -> Array:
    """Temperature [degC] of gas brought without heat from (degC, charge) to a pressure.

    Absolute pressures [Pa]; shapes that broadcast. Held within the table, -40 to 400 degC.
    """
    entropy = _table()[1]
    degC, charge, pressure = np.broadcast_arrays(degC, charge, pressure)
    at, start = np.log(pressure / 1e5), np.log(charge / 1e5)
    aim = entropy.ev(degC, start) - start + at
    low, high = np.full(at.shape, COLDEST), np.full(at.shape, HOTTEST)
    for _ in range(40):  # entropy rises with temperature
        middle = 0.5 * (low + high)
        under = entropy.ev(middle, at) < aim
        low, high = np.where(under, middle, low), np.where(under, high, middle)
    return np.asarray(0.5 * (low + high))


def volume_left(degC: Array, charge: Array, pressure: Array, fast: bool) -> Array:
    """Volume of the gas as a share of that at the charge; absolute pressures [Pa].

    ``degC`` at the charge. Isothermal, or adiabatic where ``fast``.
    """
    degC, charge, pressure = np.broadcast_arrays(degC, charge, pressure)
    warm = adiabatic_temperature(degC, charge, pressure) if fast else degC
    moved = compressibility(warm, pressure) * (warm + ZERO_DEGC) / pressure
    before = compressibility(degC, charge) * (degC + ZERO_DEGC) / charge
    return np.asarray(moved / before)
