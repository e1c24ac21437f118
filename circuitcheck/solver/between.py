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


SIDES = ((-1, 1), (0, 1), (-2, 2), (0, 2))
"""What leads to a corner from either side: the neighbour itself, and the straight line that it
ends; as the first of the solved points, counted from the right neighbour, and their number."""


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
        straight = laid(points, known, right - 1, 2, new)
        bent = laid(points, known, right - POINTS // 2, POINTS, new)
        rough = np.abs(bent - straight).max(axis=1, initial=0.0) > kink
        start[:, here] = bent.T
        at = np.flatnonzero(rough)
        if len(at):
            new, right = new[at], right[at]
            start[:, here[at]] = straight[at].T
            for first, count in SIDES:
                starts.append(laid(points, known, right + first, count, new, beyond=True).T)
                owners.append(new)
    return np.concatenate(starts, axis=1), np.concatenate(owners)


def laid(
    points: Array, solved: Ints, first: Ints, count: int, new: Ints, beyond: bool = False
) -> Array:
    """Points for ``new`` on the curves through ``count`` solved ones from the ``first`` on.

    ``points`` (solved, n) are those at the places ``solved``; gives (new, n). What lies outside
    of the points of a curve is taken to stand at the last one, unless it may go ``beyond``.
    """
    count = min(count, len(solved))
    first = np.clip(first, 0, len(solved) - count)
    taken = first[:, None] + np.arange(count)
    places = solved[taken]
    at = new if beyond else np.clip(new, places[:, 0], places[:, -1])
    weights = _weights(places.T, at).T
    rows = np.arange(len(new) + 1) * count
    matrix = sp.csr_matrix((weights.ravel(), taken.ravel(), rows), (len(new), len(solved)))
    found: Array = matrix @ points
    return found


def _weights(places: Ints, new: Ints) -> Array:
    """Weights of the points, (points, new), in the polynomial through them (Lagrange)."""
    found = np.ones(places.shape)
    for i, one in enumerate(places):
        for j, other in enumerate(places):
            if i != j:
                found[i] *= (new - other) / (one - other)
    return found
