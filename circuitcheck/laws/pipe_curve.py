"""The Reynolds number of a line as a curve over its pressure drop, for many variants at once.

Finding the Reynolds number takes a search in every line and variant. Where length, bore, loss
factors and roughness are the same in all variants, the search is done once for some thousand
points, and quintic pieces through value, slope and bend of each give the rest: within 1e-11 of
the search (tests/laws compares them).

Which piece a drop falls into is told by the bits of the number: between two powers of two
they grow evenly with it. So pieces are even parts of octaves, and neither logarithm nor
exponential is taken.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from circuitcheck.laws.pipe_friction import friction_number, reynolds
from circuitcheck.laws.smoothing import Array

FIRST = 2.0**-24
"""What is added to a drop, so that none lies under the first octave; a flow of that size is
far under any rounding."""

EDGES = (900.0, 6000.0)
"""Reynolds numbers between which the change from laminar to turbulent bends sharply."""

FINE, COARSE = 7, 4
"""Powers of two of the pieces in an octave between the edges, and outside of them."""

OCTAVES = 84
"""Octaves of the curve: to Reynolds numbers of 1e8 and more; beyond it goes on straight."""

MANTISSA = 52
"""Bits behind the exponent in a number of double precision."""

ORIGIN = (1023 - 24) << MANTISSA
"""Bits of `FIRST`: the beginning of the first octave."""

APART = 1e-4
"""Distance at which the bend is measured, as share of the drop."""


def curve(line: Array, minor: Array, rough: Array) -> tuple[Array, Array]:
    """Give edges and pieces of the curve of each line.

    Parameters
    ----------
    line, minor, rough : ndarray, shape (elements, 1)
        Length over bore, sum of loss factors, roughness over bore, [-]

    Returns
    -------
    edges : ndarray, shape (3, elements, 1)
        Octaves between which pieces are fine, and the number of the line's first piece
    pieces : ndarray, shape (8, pieces of all kinds of lines, 1)
        Beginning of each piece, one over its length, coefficients of powers of the place
        within it
    """
    kinds, back = np.unique(
        np.concatenate([line, minor, rough], axis=1), axis=0, return_inverse=True
    )
    edges, pieces = _together(tuple(map(tuple, kinds.tolist())))
    return edges[back.ravel()].T[..., None], pieces


@lru_cache(maxsize=20)
def _together(kinds: tuple[tuple[float, float, float], ...]) -> tuple[Array, Array]:
    """Edges of each kind of line, (kinds, 3), and the pieces of all, one kind after the other."""
    found = [_kind(*kind) for kind in kinds]
    starts = np.cumsum([0, *(pieces.shape[1] for _, _, pieces in found)])
    rows = [[low, high, start] for (low, high, _), start in zip(found, starts, strict=False)]
    edges = np.array(rows, dtype=float)
    whole = np.concatenate([pieces for _, _, pieces in found], axis=1)[..., None]
    for made in (edges, whole):
        made.setflags(write=False)
    return edges, whole


@lru_cache(maxsize=1000)
def _kind(line: float, minor: float, rough: float) -> tuple[int, int, Array]:
    """Octaves between which pieces are fine, and the pieces, of one kind of line."""
    re = np.array(EDGES)
    number, _ = friction_number(re, np.full_like(re, rough))
    octaves = np.log2((number * line + minor * re * re) / FIRST)
    low, high = int(np.floor(octaves[0])), min(int(np.ceil(octaves[1])), OCTAVES)
    parts = [
        FIRST * 2.0**octave * (1.0 + np.arange(2**power) / 2.0**power)
        for octave in range(OCTAVES)
        for power in (FINE if low <= octave < high else COARSE,)
    ]
    begins = np.concatenate([*parts, [FIRST * 2.0**OCTAVES]])
    value, slope = _searched(begins, line, minor, rough)
    near = APART * begins
    before, after = (_searched(begins + way * near, line, minor, rough)[1] for way in (-1, 1))
    bend = (after - before) / (2.0 * near)
    h = np.diff(begins)
    a, b = value[:-1], value[1:]
    da, db = slope[:-1] * h, slope[1:] * h
    ca, cb = bend[:-1] * h * h, bend[1:] * h * h
    rise = b - a
    pieces = np.stack(
        [
            begins[:-1],
            1.0 / h,
            a,
            da,
            0.5 * ca,
            10.0 * rise - 6.0 * da - 4.0 * db - 1.5 * ca + 0.5 * cb,
            -15.0 * rise + 8.0 * da + 7.0 * db + 1.5 * ca - cb,
            6.0 * rise - 3.0 * (da + db) - 0.5 * (ca - cb),
        ]
    )
    pieces.setflags(write=False)
    return low, high, pieces


def _searched(begins: Array, line: float, minor: float, rough: float) -> tuple[Array, Array]:
    """Re and d Re/d y at drops that have `FIRST` added; below nothing as if turned round."""
    y = begins - FIRST
    figures = (np.full_like(y, v) for v in (line, minor, rough))
    re, slope = reynolds(np.abs(y), *figures)
    return np.copysign(re, y), slope


def along(y: Array, edges: Array, pieces: Array) -> tuple[Array, Array]:
    """Give Re and d Re/d y as `reynolds` does, from the curve; y of shape (elements, variants).

    Beyond the last octave the curve goes on straight.
    """
    t = y + FIRST
    place = (t.view(np.int64) - ORIGIN) * 0.5**MANTISSA  # even within each octave
    low, high, start = edges
    np.minimum(place, OCTAVES - 1e-9, out=place)
    fine = place - low
    np.maximum(fine, 0.0, out=fine)
    np.minimum(fine, high - low, out=fine)
    fine *= 2.0**FINE - 2.0**COARSE
    place *= 2.0**COARSE
    place += fine
    place += start
    piece = place.astype(np.int64)
    begin, per, *c = pieces[..., 0].take(piece, axis=1, mode="clip")
    t -= begin
    u = np.multiply(t, per, out=t)
    last = u > 1.0
    over = bool(last.any())
    if over:  # beyond the last octave
        beyond = np.where(last, u - 1.0, 0.0)
        np.minimum(u, 1.0, out=u)
    value = c[5]
    slope = value.copy()
    for power in (4, 3, 2, 1):  # Horner's scheme, its derivative along with it
        value *= u
        value += c[power]
        slope *= u
        slope += value
    value *= u
    value += c[0]
    if over:
        value += beyond * slope
    slope *= per
    return value, slope
