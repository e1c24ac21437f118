"""Friction in a round line: Reynolds number from pressure drop."""

from __future__ import annotations

from typing import Any

import numpy as np

from circuitcheck.laws.smoothing import Array

LAMINAR_BELOW = 300.0
"""Reynolds number under which Churchill's formula equals 64/Re to double precision."""

LN_7, LN_8, LN_37530 = np.log(7.0), np.log(8.0), np.log(37530.0)


def friction_number(re: Array, rough: Array) -> tuple[Array, Array]:
    """Give f Re^2 of Darcy's factor f, and its logarithmic slope; any shape.

    Parameters
    ----------
    re : ndarray
        Reynolds number, [-], above zero
    rough : ndarray
        Roughness over bore, [-]

    Validity
    --------
    All Reynolds numbers. Between 2000 and 4000 the true flow is unsettled and the formula
    is a bridge; the result is marked there by those who print it.

    Sources
    -------
    Churchill 1977, "Friction-factor equation spans all fluid-flow regimes", Chemical
    Engineering 84(24); the same formula stands in the open library ``fluids``.
    """
    ln_re = np.log(re)
    wall = np.exp(0.9 * (LN_7 - ln_re))
    log = np.log(wall + 0.27 * rough)
    # a = (2.457 |log|)^16, b = (37530/Re)^16; logarithms keep small Re from overflowing
    ln_a = 16.0 * np.log(2.457 * np.abs(log))
    ln_b = 16.0 * (LN_37530 - ln_re)
    ln_sum = np.logaddexp(ln_a, ln_b)
    dln_a = 16.0 * (-0.9 * wall / (wall + 0.27 * rough)) / log
    share = np.exp(ln_a - ln_sum)
    dln_sum = share * dln_a + (1.0 - share) * -16.0
    lnlaminar = 12.0 * np.log(8.0 / re)
    ln_turbulent = -1.5 * ln_sum
    ln_all = np.logaddexp(lnlaminar, ln_turbulent)
    part = np.exp(lnlaminar - ln_all)
    dln_all = part * -12.0 + (1.0 - part) * -1.5 * dln_sum
    number: Array = 8.0 * np.exp(ln_all / 12.0) * re * re
    return number, dln_all / 12.0 + 2.0


def laminar(y: Array, line: Array, minor: Array) -> Array:
    """Give the Reynolds number where 64 Re line + minor Re^2 = y."""
    a = 64.0 * line
    result: Array = 2.0 * y / (a + np.sqrt(a * a + 4.0 * minor * y))
    return result


def reynolds(y: Array, line: Array, minor: Array, rough: Array) -> tuple[Array, Array]:
    """Give the Reynolds number at which f Re^2 line + minor Re^2 = y, and d Re/d y.

    Parameters
    ----------
    y : ndarray
        2 d^2 dp/(rho nu^2), [-], not negative
    line, minor, rough : ndarray
        Length over bore, sum of loss factors, roughness over bore, [-]

    Notes
    -----
    Newton on logarithms between two bounds; f Re^2 rises at every Re, so there is one
    answer. Laminar flow is solved in closed form.
    """
    re = laminar(y, line, minor)
    slope = 1.0 / (64.0 * line + 2.0 * minor * re)
    fast: np.ndarray[Any, np.dtype[np.bool_]] = re > LAMINAR_BELOW
    if not fast.any():
        return re, slope
    y, line, minor, rough = (np.broadcast_to(v, fast.shape)[fast] for v in (y, line, minor, rough))
    target = np.log(y)
    high = np.log(re[fast])
    # f never exceeds 0.1 above Re 640 nor 64/300 above 300: a sure lower bound
    low = np.minimum(np.log(LAMINAR_BELOW), high) - 1.0
    u = np.minimum(high, 0.5 * (target - np.log(0.03 * line + minor)))
    for _ in range(60):
        ratio = np.exp(u)
        number, bend = friction_number(ratio, rough)
        square = minor * ratio * ratio
        total = number * line + square
        miss = np.log(total) - target
        grade = (number * line * bend + 2.0 * square) / total
        high = np.where(miss > 0.0, np.minimum(high, u), high)
        low = np.where(miss < 0.0, np.maximum(low, u), low)
        if np.all(np.abs(miss) < 4e-15 * np.maximum(1.0, np.abs(target))):
            break
        step = u - miss / grade
        outside = (step < low) | (step > high)
        u = np.where(outside, 0.5 * (low + high), step)
    re = re.copy()
    slope = slope.copy()
    re[fast] = np.exp(u)
    slope[fast] = re[fast] / (grade * y)
    return re, slope
