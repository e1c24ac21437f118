"""Factors of many small Jacobians at once, eliminated in an order fixed by the circuit.

The pattern of the Jacobian is that of the circuit and the same in all variants, so the order
of elimination and the places of the fill are found once; the arithmetic then runs over the
variants. Pivots stay on the diagonal: a junction has its passages there, a rod or shaft its
friction. A rod or shaft comes after the pressures that work on it, for the friction alone is
too small a pivot. Minimum degree and LU without pivoting: standard, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from circuitcheck.laws.smoothing import Array

Ints = np.ndarray[Any, np.dtype[np.int64]]
Bools = np.ndarray[Any, np.dtype[np.bool_]]


@dataclass(frozen=True)
class Pivot:
    """One step of the elimination, as places in the storage of the factors.

    ``at``: the pivot, then its column below (``column``), then its row to the right
    (``row``), stored one after the other; ``behind`` are the unknowns there, the same in
    both; ``targets`` the places that column times row is taken from, row by row.
    """

    unknown: int
    at: int
    column: slice
    row: slice
    behind: tuple[int, ...]
    targets: Ints


def order_of(neighbours: list[set[int]], late: Bools) -> list[int]:
    """Give unknowns in order of least degree, those marked ``late`` after their neighbours."""
    left = [set(n) for n in neighbours]
    waits = {i: {j for j in left[i] if not late[j]} for i in np.flatnonzero(late).tolist()}
    todo = set(range(len(left)))
    order: list[int] = []
    while todo:
        ready = [i for i in todo if not waits.get(i)] or list(todo)
        k = min(ready, key=lambda i: (len(left[i]), i))
        order.append(k)
        todo.remove(k)
        around = left[k]
        for i in around:
            left[i] |= around
            left[i] -= {i, k}
            if i in waits:
                waits[i].discard(k)
    return order


class Plan:
    """Order of elimination and storage of the factors for a pattern (rows, columns) of n.

    ``late`` marks the unknowns that come after their neighbours, shape (n,).

    Attributes
    ----------
    pivots : list of Pivot
    size : int
        Number of stored figures, fill included
    entries : ndarray of int, shape (entries,)
        Place of every entry of the Jacobian in the storage
    """

    def __init__(self, n: int, rows: Ints, columns: Ints, late: Bools) -> None:
        neighbours: list[set[int]] = [set() for _ in range(n)]
        for i, j in zip(rows.tolist(), columns.tolist(), strict=True):
            if i != j:
                neighbours[i].add(j)
                neighbours[j].add(i)
        order = order_of(neighbours, late)
        step = {k: s for s, k in enumerate(order)}
        place: dict[tuple[int, int], int] = {}
        later: list[list[int]] = []
        for s, k in enumerate(order):
            behind = sorted((j for j in neighbours[k] if step[j] > s), key=step.__getitem__)
            later.append(behind)
            for i in behind:
                neighbours[i] |= set(behind) - {i}
            for key in ((k, k), *((i, k) for i in behind), *((k, j) for j in behind)):
                place[key] = len(place)
        self.size = len(place)
        self.entries: Ints = np.array(
            [place[key] for key in zip(rows.tolist(), columns.tolist(), strict=True)],
            dtype=np.int64,
        )
        self.pivots: list[Pivot] = []
        for k, behind in zip(order, later, strict=True):
            at, many = place[k, k], len(behind)
            self.pivots.append(
                Pivot(
                    unknown=k,
                    at=at,
                    column=slice(at + 1, at + 1 + many),
                    row=slice(at + 1 + many, at + 1 + 2 * many),
                    behind=tuple(behind),
                    targets=np.array([place[i, j] for i in behind for j in behind], dtype=np.int64),
                )
            )


class Eliminated:
    """LU factors of many variants in one array, shape (plan.size, variants)."""

    def __init__(self, plan: Plan, entries: Array) -> None:
        self.plan = plan
        lu = np.zeros((plan.size, entries.shape[1]))
        lu[plan.entries] = entries
        with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
            for p in plan.pivots:
                np.divide(1.0, lu[p.at], out=lu[p.at])
                many = len(p.behind)
                if not many:
                    continue
                column, row = lu[p.column], lu[p.row]
                column *= lu[p.at]
                if many == 1:
                    lu[p.targets[0]] -= column[0] * row[0]
                else:
                    product = column[:, None] * row
                    lu[p.targets] -= product.reshape(many * many, -1)
        self.lu = lu

    def solve(self, r: Array) -> Array:
        """Give J^-1 r; r of shape (n, variants). A singular variant gives no finite figures."""
        x, lu = r.copy(), self.lu
        part = np.empty(r.shape[1])  # entry by entry: gathering rows takes twice as long
        with np.errstate(over="ignore", invalid="ignore"):
            for p in self.plan.pivots:
                own = x[p.unknown]
                for at, i in enumerate(p.behind, p.column.start):
                    np.multiply(lu[at], own, out=part)
                    x[i] -= part
            for p in reversed(self.plan.pivots):
                own = x[p.unknown]
                for at, j in enumerate(p.behind, p.row.start):
                    np.multiply(lu[at], x[j], out=part)
                    own -= part
                own *= lu[p.at]
        return x

    def take(self, other: Eliminated, where: Bools) -> None:
        """Take over the factors of ``other`` in the variants where it holds."""
        np.copyto(self.lu, other.lu, where=where)

    def keep(self, which: Ints) -> None:
        """Keep the variants ``which`` only."""
        self.lu = self.lu[:, which]
