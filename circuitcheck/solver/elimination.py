"""Factors of many small Jacobians at once, eliminated in an order fixed by the circuit.

The pattern of the Jacobian is that of the circuit and the same in all variants, so the order
of elimination and the places of the fill are found once; the arithmetic then runs over the
variants. Pivots stay on the diagonal: a junction has its passages there, a rod or shaft its
friction. A rod or shaft comes after the pressures that work on it, for the friction alone is
too small a pivot. Minimum degree and LU without pivoting: standard, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from circuitcheck.laws.smoothing import Array

Ints = np.ndarray[Any, np.dtype[np.int64]]
Bools = np.ndarray[Any, np.dtype[np.bool_]]


@dataclass(frozen=True)
class Pivot:
    """One step of the elimination, as places in the storage of the factors.

    ``at``: the pivot; ``column``: its entries below, ``row``: those to its right, each with
    the unknown there; ``targets``: for every entry of the column, in turn, the places that
    its product with each entry of the row is taken from.
    """

    unknown: int
    at: int
    column: tuple[tuple[int, int], ...]
    row: tuple[tuple[int, int], ...]
    targets: tuple[tuple[int, ...], ...]


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
        # fill: where a row has an entry in the column of a pivot, it gets all that are behind
        rows_of: list[set[int]] = [set() for _ in range(n)]
        columns_of: list[set[int]] = [set() for _ in range(n)]
        for i, j in zip(rows.tolist(), columns.tolist(), strict=True):
            rows_of[j].add(i)
            columns_of[i].add(j)
        place: dict[tuple[int, int], int] = {}
        below: list[list[int]] = []
        right: list[list[int]] = []
        for s, k in enumerate(order):
            below.append(sorted((i for i in rows_of[k] if step[i] > s), key=step.__getitem__))
            right.append(sorted((j for j in columns_of[k] if step[j] > s), key=step.__getitem__))
            for i in below[-1]:
                columns_of[i].update(right[-1])
            for j in right[-1]:
                rows_of[j].update(below[-1])
            for key in ((k, k), *((i, k) for i in below[-1]), *((k, j) for j in right[-1])):
                place[key] = len(place)
        self.size = len(place)
        self.entries: Ints = np.array(
            [place[key] for key in zip(rows.tolist(), columns.tolist(), strict=True)],
            dtype=np.int64,
        )
        self.pivots = [
            Pivot(
                unknown=k,
                at=place[k, k],
                column=tuple((place[i, k], i) for i in own),
                row=tuple((place[k, j], j) for j in theirs),
                targets=tuple(tuple(place[i, j] for j in theirs) for i in own),
            )
            for k, own, theirs in zip(order, below, right, strict=True)
        ]


@lru_cache(maxsize=100)
def _planned(n: int, rows: bytes, columns: bytes, late: bytes) -> Plan:
    return Plan(
        n,
        np.frombuffer(rows, dtype=np.int64),
        np.frombuffer(columns, dtype=np.int64),
        np.frombuffer(late, dtype=bool),
    )


def plan_for(n: int, rows: Ints, columns: Ints, late: Bools) -> Plan:
    """Give the plan of a pattern, made once however often the circuit is solved."""
    return _planned(n, rows.tobytes(), columns.tobytes(), late.tobytes())


class Eliminated:
    """LU factors of many variants in one array, shape (plan.size, variants)."""

    def __init__(self, plan: Plan, entries: Array) -> None:
        self.plan = plan
        lu = np.zeros((plan.size, entries.shape[1]))
        lu[plan.entries] = entries
        part = np.empty(entries.shape[1])  # entry by entry: gathering rows takes twice as long
        with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
            for p in plan.pivots:
                inverse = lu[p.at]
                np.divide(1.0, inverse, out=inverse)
                row = [lu[at] for at, _ in p.row]
                for (at, _), targets in zip(p.column, p.targets, strict=True):
                    own = lu[at]
                    own *= inverse
                    for entry, target in zip(row, targets, strict=True):
                        np.multiply(own, entry, out=part)
                        lu[target] -= part
        self.lu = lu

    def solve(self, r: Array) -> Array:
        """Give J^-1 r; r of shape (n, variants). A singular variant gives no finite figures."""
        x, lu = r.copy(), self.lu
        part = np.empty(r.shape[1])
        with np.errstate(over="ignore", invalid="ignore"):
            for p in self.plan.pivots:
                own = x[p.unknown]
                for at, i in p.column:
                    np.multiply(lu[at], own, out=part)
                    x[i] -= part
            for p in reversed(self.plan.pivots):
                own = x[p.unknown]
                for at, j in p.row:
                    np.multiply(lu[at], x[j], out=part)
                    own -= part
                own *= lu[p.at]
        return x

    def sign(self) -> Array:
        """Give the sign of every determinant, (variants,)."""
        found: Array = np.sign(self.lu[[p.at for p in self.plan.pivots]]).prod(axis=0)
        return found

    def put(self, other: Eliminated, which: Ints) -> None:
        """Put the factors of ``other`` in the place of those of the variants ``which``."""
        self.lu[:, which] = other.lu

    def keep(self, which: Ints) -> None:
        """Keep the variants ``which`` only."""
        self.lu = self.lu[:, which]
