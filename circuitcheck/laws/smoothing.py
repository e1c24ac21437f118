"""Rounded corners: the kinks of clipped laws, with compact support or with tails.

Every pass of the solver goes through these functions for all elements at once, so they work
in few passes over their arrays and in place where they can.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]


@dataclass(frozen=True)
class Smoothing:
    """How corners are rounded in one pass of the solver.

    ``e`` is the half width of a rounded corner in units of the band. With ``tails`` the
    corner is a hyperbola that never quite reaches its asymptotes: good as a road to the
    answer, wrong as the answer, because a closed relief would leak. ``widen`` multiplies
    every band and the width of an orifice's laminar start, ``creep`` the speed under which
    rods and shafts count as standing and the leakage of shut seats.
    """

    e: float = 0.02
    tails: bool = False
    widen: float = 1.0
    creep: float = 1.0


EXACT = Smoothing()


def pos(z: Array, s: Smoothing) -> tuple[Array, Array]:
    """Give max(z, 0) with a rounded corner, and its derivative; any shape.

    Compact: 0 below -e, (z+e)^2/(4e) inside, z above. Standard construction, from memory.
    """
    if s.tails:
        root = np.sqrt(z * z + s.e * s.e)
        return 0.5 * (z + root), 0.5 * (1.0 + z / root)
    above = z + s.e
    np.maximum(above, 0.0, out=above)
    corner = np.minimum(above, 2.0 * s.e)
    slope = corner * (0.5 / s.e)
    above -= corner
    corner *= slope
    corner *= 0.5
    above += corner
    return above, slope


def ramp(z: Array, s: Smoothing) -> tuple[Array, Array]:
    """Give z clipped to 0..1 with rounded corners, and its derivative."""
    if s.tails:
        low, dlow = pos(z, s)
        high, dhigh = pos(z - 1.0, s)
        return low - high, dlow - dhigh
    # pos(z) - pos(z - 1): both corners at once, (a^2 - b^2)/4e beside the straight part
    above = z + s.e
    low = _within(above, 2.0 * s.e)
    high = above - 1.0
    _within(high, 2.0 * s.e, out=high)
    slope = low - high
    slope *= 0.5 / s.e
    low += high
    low *= slope
    low *= 0.5
    above -= 2.0 * s.e
    low += _within(above, 1.0, out=above)
    return low, slope


def _within(z: Array, most: float, out: Array | None = None) -> Array:
    """Clip z to 0..most."""
    found: Array = np.maximum(z, 0.0, out=out)
    return np.minimum(found, most, out=found)


def sign(z: Array, s: Smoothing) -> tuple[Array, Array]:
    """Give z clipped to -1..1 with rounded corners, and its derivative.

    Told from z itself, so that small figures keep all their digits: pos(u) - pos(-u) = u.
    """
    if s.tails:
        low, dlow = pos(-1.0 - z, s)
        high, dhigh = pos(z - 1.0, s)
        return z + low - high, 1.0 - dlow - dhigh
    size_ = np.abs(z)
    if z.size and size_.min() >= 1.0 + s.e:  # most often: everything moves
        return np.copysign(1.0, z), np.zeros_like(z)
    corner = size_ - (1.0 - s.e)
    _within(corner, 2.0 * s.e, out=corner)
    share = corner * (0.5 / s.e)
    np.minimum(size_, 1.0 - s.e, out=size_)
    corner *= 1.0 - 0.5 * share
    size_ += corner
    np.copysign(size_, z, out=size_)
    return size_, np.subtract(1.0, share, out=share)


def least(a: Array, b: Array, s: Smoothing) -> tuple[Array, Array, Array]:
    """Give min(a, b) with a rounded corner, and its derivatives to a and to b."""
    over, slope = pos(a - b, s)
    return a - over, 1.0 - slope, slope


def size(z: Array, s: Smoothing) -> tuple[Array, Array]:
    """Give abs(z) with a rounded corner, and its derivative."""
    if s.tails:
        right, dright = pos(z, s)
        left, dleft = pos(-z, s)
        return right + left, dright - dleft
    value = np.abs(z)
    corner = s.e - value
    np.maximum(corner, 0.0, out=corner)
    corner *= corner
    corner *= 0.5 / s.e
    value += corner
    slope = z * (1.0 / s.e)
    np.maximum(slope, -1.0, out=slope)
    return value, np.minimum(slope, 1.0, out=slope)
