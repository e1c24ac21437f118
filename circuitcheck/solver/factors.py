"""Factorised Jacobians of many variants, dense for small circuits, sparse for large ones."""

from __future__ import annotations

from typing import Any, Literal, Protocol

import numpy as np
import scipy.sparse as sp
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import splu

from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.elimination import Ints


class Factors(Protocol):
    """Factorised Jacobians; ``solve`` gives J^-1 r for r of shape (n, variants)."""

    def solve(self, r: Array) -> Array: ...

    def sign(self) -> Array:
        """Give the sign of every determinant, (variants,)."""

    def put(self, other: Any, which: Ints) -> None:
        """Put the factors of ``other`` in the place of those of the variants ``which``."""

    def keep(self, which: Ints) -> None:
        """Keep the variants ``which`` only."""


class Dense:
    """Inverses of all variants; a singular one becomes NaN, which the caller sees."""

    def __init__(self, n: int, rows: Ints, columns: Ints, entries: Array) -> None:
        full = np.zeros((entries.shape[1], n, n))
        full[:, rows, columns] = entries.T
        sound = np.isfinite(entries).all(axis=0)
        whole = bool(sound.all())
        if not whole:
            full[~sound] = np.eye(n)
        self.inverse: Array
        try:
            self.inverse = np.linalg.inv(full)
        except np.linalg.LinAlgError:
            self.inverse = np.stack([_inverse(a) for a in full])
        if not whole:
            self.inverse[~sound] = np.nan

    def solve(self, r: Array) -> Array:
        found: Array = np.einsum("vij,jv->iv", self.inverse, r)
        return found

    def sign(self) -> Array:
        sign: Array = np.linalg.slogdet(np.nan_to_num(self.inverse)).sign
        return sign

    def put(self, other: Dense, which: Ints) -> None:
        self.inverse[which] = other.inverse

    def keep(self, which: Ints) -> None:
        self.inverse = self.inverse[which]


def _inverse(a: Array) -> Array:
    try:
        return np.asarray(np.linalg.inv(a), dtype=np.float64)
    except np.linalg.LinAlgError:
        return np.full_like(a, np.nan)


class Ordering:
    """Order of elimination of a large pattern, and where its entries go; found once.

    Minimum degree on the symmetrised pattern: the default ordering of the library takes
    half as long again. The patterns of all iterations are one, so the order is kept.
    """

    def __init__(self, n: int, rows: Ints, columns: Ints) -> None:
        ones = np.where(rows == columns, float(n), 1.0)
        first = _lu(sp.csc_matrix((ones, (rows, columns)), shape=(n, n)), "MMD_AT_PLUS_A")
        self.order: Ints = np.argsort(first.perm_c)
        place = np.empty(n, dtype=np.int64)
        place[self.order] = np.arange(n)
        numbered = np.arange(1, len(rows) + 1, dtype=float)
        ordered = sp.csc_matrix((numbered, (place[rows], place[columns])), shape=(n, n))
        ordered.sort_indices()
        self.taken: Ints = ordered.data.astype(np.int64) - 1
        self.pattern = ordered

    def factors(self, entries: Array) -> Any:
        """Factorise one variant; None if it is singular or not finite."""
        entries.take(self.taken, out=self.pattern.data)  # the library keeps nothing of it
        try:
            return _lu(self.pattern, "NATURAL")
        except (RuntimeError, ValueError):  # exactly singular, or not finite
            return None


def _lu(matrix: Any, order: Literal["NATURAL", "MMD_AT_PLUS_A"]) -> Any:
    """LU factors that keep to the diagonal wherever its pivot is not tiny.

    Column by column: these matrices have so little fill that panels of columns only cost
    (own measurement: 1.3 to 1.6 times as long on grids of 50,000 and 10,000 junctions).
    """
    options: Any = {"SymmetricMode": True}
    return splu(matrix, order, 0.001, panel_size=1, options=options)


class Sparse:
    """Sparse LU of each variant."""

    def __init__(self, ordering: Ordering, entries: Array) -> None:
        self.ordering = ordering
        self.factors = [ordering.factors(column) for column in entries.T]

    def solve(self, r: Array) -> Array:
        found, order = np.empty_like(r), self.ordering.order
        for i, factor in enumerate(self.factors):
            own = r[:, i].take(order)
            sound = factor is not None and np.isfinite(own).all()
            found[order, i] = factor.solve(own) if sound else np.nan
        return found

    def sign(self) -> Array:
        return np.array([_sign(factor) for factor in self.factors])

    def put(self, other: Sparse, which: Ints) -> None:
        for i, factor in zip(which, other.factors, strict=True):
            self.factors[i] = factor

    def keep(self, which: Ints) -> None:
        self.factors = [self.factors[i] for i in which]


def _sign(factor: Any) -> float:
    """Sign of the determinant of sparse factors; 0 where there are none."""
    if factor is None:
        return 0.0
    order = np.argsort(factor.perm_r)[factor.perm_c]  # both orders at once
    even = (len(order) - connected_components(_moves(order))[0]) % 2 == 0
    sign = float(np.sign(factor.U.diagonal()).prod())
    return sign if even else -sign


def _moves(order: Ints) -> Any:
    return sp.csr_matrix((np.ones(len(order)), (np.arange(len(order)), order)))
