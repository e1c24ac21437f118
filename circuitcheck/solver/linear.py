"""Factorised Jacobians of many variants, dense for small circuits, sparse for large ones."""

from __future__ import annotations

from typing import Protocol

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import splu

from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.equations import Bools, Equations

DENSE_UP_TO = 150
"""Unknowns above which a sparse factorisation is faster (own measurement)."""


class Factors(Protocol):
    """Factorised Jacobians; ``solve`` gives J^-1 r for r of shape (n, variants)."""

    def solve(self, r: Array) -> Array: ...

    def take(self, other: Factors, where: Bools) -> None:
        """Take over the factors of ``other`` in the variants where it holds."""


class Dense:
    """Inverses of all variants; a singular one becomes NaN, which the caller sees."""

    def __init__(self, equations: Equations, entries: Array) -> None:
        n, variants = equations.n, entries.shape[1]
        full = np.zeros((variants, n, n))
        full[:, equations.rows, equations.columns] = entries.T
        sound = np.isfinite(entries).all(axis=0)
        full[~sound] = np.eye(n)
        self.inverse: Array
        try:
            self.inverse = np.linalg.inv(full)
        except np.linalg.LinAlgError:
            self.inverse = np.stack([_inverse(a) for a in full])
        self.inverse[~sound] = np.nan

    def solve(self, r: Array) -> Array:
        found: Array = np.einsum("vij,jv->iv", self.inverse, r)
        return found

    def take(self, other: Factors, where: Bools) -> None:
        assert isinstance(other, Dense)
        self.inverse[where] = other.inverse[where]


def _inverse(a: Array) -> Array:
    try:
        return np.asarray(np.linalg.inv(a), dtype=np.float64)
    except np.linalg.LinAlgError:
        return np.full_like(a, np.nan)


class Sparse:
    """Sparse LU of each variant, ordered for a symmetric pattern."""

    def __init__(self, equations: Equations, entries: Array) -> None:
        n = equations.n
        self.factors: list[object | None] = []
        for column in entries.T:
            matrix = sp.csc_matrix((column, (equations.rows, equations.columns)), shape=(n, n))
            try:
                self.factors.append(
                    splu(
                        matrix,
                        permc_spec="MMD_AT_PLUS_A",
                        diag_pivot_thresh=0.001,
                        options={"SymmetricMode": True},
                    )
                )
            except (RuntimeError, ValueError):  # exactly singular, or not finite
                self.factors.append(None)

    def solve(self, r: Array) -> Array:
        found = np.full_like(r, np.nan)
        for i, factor in enumerate(self.factors):
            if factor is not None and np.isfinite(r[:, i]).all():
                found[:, i] = factor.solve(r[:, i])  # type: ignore[attr-defined]
        return found

    def take(self, other: Factors, where: Bools) -> None:
        assert isinstance(other, Sparse)
        for i in np.flatnonzero(where):
            self.factors[i] = other.factors[i]


def factorise(equations: Equations, entries: Array) -> Factors:
    """Factorise the Jacobians whose entries are given, shape (entries, variants)."""
    return (Dense if equations.n <= DENSE_UP_TO else Sparse)(equations, entries)
