"""Rounded corners: the kinks of clipped laws, with compact support or with tails."""

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
    t = np.minimum(np.maximum(z + s.e, 0.0), 2.0 * s.e)
    slope = t / (2.0 * s.e)
    t = t * slope
    t *= 0.5
    t += np.maximum(z - s.e, 0.0)
    return t, slope


def ramp(z: Array, s: Smoothing) -> tuple[Array, Array]:
    """Give z clipped to 0..1 with rounded corners, and its derivative."""
    low, dlow = pos(z, s)
    high, dhigh = pos(z - 1.0, s)
    return low - high, dlow - dhigh


def sign(z: Array, s: Smoothing) -> tuple[Array, Array]:
    """Give z clipped to -1..1 with rounded corners, and its derivative.

    Told from z itself, so that small figures keep all their digits: pos(u) - pos(-u) = u.
    """
    low, dlow = pos(-1.0 - z, s)
    high, dhigh = pos(z - 1.0, s)
    return z + low - high, 1.0 - dlow - dhigh


def least(a: Array, b: Array, s: Smoothing) -> tuple[Array, Array, Array]:
    """Give min(a, b) with a rounded corner, and its derivatives to a and to b."""
    over, slope = pos(a - b, s)
    return a - over, 1.0 - slope, slope


def size(z: Array, s: Smoothing) -> tuple[Array, Array]:
    """Give abs(z) with a rounded corner, and its derivative."""
    right, dright = pos(z, s)
    left, dleft = pos(-z, s)
    return right + left, dright - dleft
