"""The Reynolds number of a line as a curve over its pressure drop, for many variants at once.

Finding the Reynolds number takes a search in every line and variant. Where length, bore, loss
factors and roughness are the same in all variants, the search is done once for some thousand
points, and quintic pieces through value, slope and bend of each give the rest: within 1e-11 of
the search (tests/laws compares them).
"""

from __future__ import annotations

import numpy as np

from circuitcheck.laws.pipe_friction import friction_number, laminar, reynolds
from circuitcheck.laws.smoothing import Array

EDGES = (100.0, 900.0, 6000.0, 1e9)
"""Reynolds numbers between which the pieces have one length each."""

PIECES = (60, 600, 400)
"""Pieces between those: the change from laminar to turbulent is bent sharply."""

APART = 1e-4
"""Distance at which the bend is measured, in the logarithm of the drop."""


def curve(line: Array, minor: Array, rough: Array) -> tuple[Array, Array]:
    """Give edges and pieces of the curve ln Re over ln y of each line.

    Parameters
    ----------
    line, minor, rough : ndarray, shape (elements, 1)
        Length over bore, sum of loss factors, roughness over bore, [-]

    Returns
    -------
    edges : ndarray, shape (4, elements, 1)
        ln y at the `EDGES`
    pieces : ndarray, shape (6, pieces, elements, 1)
        Coefficients of powers of the place within a piece, 0..1
    """
    kinds, back = np.unique(
        np.concatenate([line, minor, rough], axis=1), axis=0, return_inverse=True
    )
    line, minor, rough = (kinds[:, [i]] for i in range(3))
    re = np.broadcast_to(np.array(EDGES), (len(kinds), len(EDGES)))
    number, _ = friction_number(re, np.broadcast_to(rough, re.shape))
    edges = np.log(number * line + minor * re * re)
    pieces = [
        _pieces(np.linspace(edges[:, i], edges[:, i + 1], count + 1, axis=1), line, minor, rough)
        for i, count in enumerate(PIECES)
    ]
    whole = np.concatenate(pieces, axis=2)[:, back.ravel()]
    return edges[back.ravel()].T[..., None], np.swapaxes(whole, 1, 2)[..., None]


def _pieces(t: Array, line: Array, minor: Array, rough: Array) -> Array:
    """Quintic pieces between places t, (kinds, places); shape (6, kinds, places - 1)."""
    value, slope = _logarithm(t, line, minor, rough)
    _, before = _logarithm(t - APART, line, minor, rough)
    _, after = _logarithm(t + APART, line, minor, rough)
    h = t[:, 1:] - t[:, :-1]
    bend = (after - before) / (2.0 * APART)
    a, b = value[:, :-1], value[:, 1:]
    da, db = slope[:, :-1] * h, slope[:, 1:] * h
    ca, cb = bend[:, :-1] * h * h, bend[:, 1:] * h * h
    rise = b - a
    return np.stack(
        [
            a,
            da,
            0.5 * ca,
            10.0 * rise - 6.0 * da - 4.0 * db - 1.5 * ca + 0.5 * cb,
            -15.0 * rise + 8.0 * da + 7.0 * db + 1.5 * ca - cb,
            6.0 * rise - 3.0 * (da + db) - 0.5 * (ca - cb),
        ]
    )


def _logarithm(t: Array, line: Array, minor: Array, rough: Array) -> tuple[Array, Array]:
    y = np.exp(t)
    re, slope = reynolds(y, *(np.broadcast_to(v, t.shape) for v in (line, minor, rough)))
    return np.log(re), slope * y / re


def along(y: Array, line: Array, minor: Array, edges: Array, pieces: Array) -> tuple[Array, Array]:
    """Give Re and d Re/d y as `reynolds` does, from the curve; y of shape (elements, variants).

    Above Re 1e9 the curve goes on straight.
    """
    slow = laminar(y, line, minor)
    slow_slope = 1.0 / (64.0 * line + 2.0 * minor * slow)
    least = np.maximum(y, 1e-300)
    t = np.log(least)
    place = np.zeros_like(t)
    steepness = np.zeros_like(t)
    for i, count in enumerate(PIECES):
        rate = count / (edges[i + 1] - edges[i])
        here = t >= edges[i]
        np.copyto(place, (t - edges[i]) * rate + sum(PIECES[:i]), where=here)
        np.copyto(steepness, rate, where=here)
    total = sum(PIECES)
    piece = np.minimum(place.astype(np.int64), total - 1)
    u = np.minimum(place - piece, 1.0)
    beyond = np.maximum(place - total, 0.0)
    count = t.shape[0]
    at = piece
    at *= count
    at += np.arange(count)[:, None]
    c = [part.reshape(-1).take(at, mode="clip") for part in pieces]
    value = c[5]
    slope = value.copy()
    for power in (4, 3, 2, 1):  # Horner's scheme, its derivative along with it
        value *= u
        value += c[power]
        slope *= u
        slope += value
    value *= u
    value += c[0]
    value += beyond * slope
    re = np.exp(value)
    fast = t >= edges[0]
    bent = slope * steepness * re / least
    return np.where(fast, re, slow), np.where(fast, bent, slow_slope)
