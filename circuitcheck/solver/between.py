"""Points between solved variations that lie side by side: where a search for the others starts."""

from __future__ import annotations

import numpy as np
import scipy.sparse as sp

from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.equations import Ints

KINK = 0.03
"""Difference between curve and straight line beyond which a corner lies between the points, at
which a curve would overshoot [bar and the like]; own choice."""

POINTS = 4
"""Solved neighbours that a curve is laid through: two on either side."""


SIDES = 4
"""Further starts where a corner lies between the neighbours."""


def between(
    x: Array, solved: Ints, which: Ints, variations: int, kink: float = KINK
) -> tuple[Array, Ints]:
    """Give starts for the variants ``which`` from those ``solved``, and for which each is.

    x are the points of all variants, shape (n, variants). A start lies on a curve through the
    nearest in the same step of the cycle. Where curve and straight line differ by more than
    ``kink``, there are further starts for the same variant, which lead there from either side.
    """
    start = x[:, which]
    edges = np.arange(0, x.shape[1] + 1, variations)
    ends, solved_ends = np.searchsorted(which, edges), np.searchsorted(solved, edges)
    starts, owners = [start], [which]
    for step in range(len(edges) - 1):
        here: Ints = np.arange(ends[step], ends[step + 1])
        new, known = which[here], solved[solved_ends[step] : solved_ends[step + 1]]
        if not len(known) or not len(new):
            continue
        points = np.ascontiguousarray(x[:, known].T)
        right = np.searchsorted(known, new)
        at = np.clip(new, known[0], known[-1])
        straight = laid(points, known, right - 1, 2, at)
        bent = laid(points, known, right - POINTS // 2, POINTS, at)
        start[:, here] = bent
        bent -= straight
        rough = np.flatnonzero(np.abs(bent, out=bent).max(axis=0, initial=0.0) > kink)
        if len(rough):
            start[:, here[rough]] = straight[:, rough]
            starts.append(_sides(points, known, right[rough], new[rough]))
            owners.append(np.tile(new[rough], SIDES))
    return np.concatenate(starts, axis=1), np.concatenate(owners)


def laid(points: Array, solved: Ints, first: Ints, count: int, at: Ints) -> Array:
    """Points ``at`` places on the curves through ``count`` solved ones from the ``first`` on.

    ``points`` (solved, n) are those at the places ``solved``; gives (n, places).
    """
    count = min(count, len(solved))
    first = np.clip(first, 0, len(solved) - count)
    taken = first[:, None] + np.arange(count)
    weights = _weights(solved[taken.T].astype(float), at).T
    rows = np.arange(len(at) + 1) * count
    matrix = sp.csr_matrix((weights.ravel(), taken.ravel(), rows), (len(at), len(solved)))
    return np.ascontiguousarray((matrix @ points).T)


def _sides(points: Array, solved: Ints, right: Ints, new: Ints) -> Array:
    """What leads to ``new`` from either side, (n, SIDES x new): the neighbours themselves, and
    the straight lines that end in them, gone on with."""
    last = len(solved) - 1
    first = np.concatenate([right - 2, right] * 2)
    near = solved[np.clip([right - 1, right], 0, last)]
    return laid(points, solved, first, 2, np.concatenate([*near, new, new]))


def _weights(places: Array, new: Ints) -> Array:
    """Weights of the points, (points, new), in the polynomial through them (Lagrange)."""
    found = np.ones(places.shape)
    off = new - places
    for i, one in enumerate(places):
        for j, other in enumerate(places):
            if i != j:
                found[i] *= off[j] / (one - other)
    return found
