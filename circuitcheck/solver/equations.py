"""The equations as arrays: residual and Jacobian of all variants at once."""

from __future__ import annotations

import copy
from dataclasses import dataclass
from typing import Any

import numpy as np
import scipy.sparse as sp

from circuitcheck.laws._law import Law
from circuitcheck.laws.library import LAWS
from circuitcheck.laws.net import Element, System
from circuitcheck.laws.smoothing import Array, Smoothing

Ints = np.ndarray[Any, np.dtype[np.int64]]
Bools = np.ndarray[Any, np.dtype[np.bool_]]


@dataclass
class Group:
    """All elements of one law: terminals (terminals, elements), coefficients (elements, V),
    those of a table with its axes in front."""

    law: Law
    elements: list[Element]
    terminals: Ints
    coefficients: dict[str, Array]
    to_rows: Any  # csr (unknowns, values x elements)
    to_entries: Any  # csr (entries, values x terminals x elements)


def _stacked(name: str, default: float, elements: list[Element], variants: int) -> Array:
    """One coefficient of a group, shape (..., elements, 1) where no variant differs."""
    rows = [e.coefficients.get(name) for e in elements]
    full = np.stack([np.full(variants, default) if row is None else row for row in rows], axis=-2)
    return full[..., :1] if np.all(full == full[..., :1]) else full


def _sizes(element: Element) -> tuple[tuple[int, ...], ...]:
    """Give the shapes of an element's tables: only tables of one size go into one group."""
    return tuple(c.shape for c in element.coefficients.values() if c.ndim > 1)


class Equations:
    """Balances of a `System` in scaled unknowns (bar, L/min and their like).

    Unknowns pinned in every variant are known values; an unknown pinned in some variants
    keeps its row, which there reads "stay". ``free`` lists the rest, in order.

    Attributes
    ----------
    n : int
        Number of free unknowns
    rows, columns : ndarray, shape (entries,)
        Pattern of the Jacobian among free unknowns, diagonal included
    stay : ndarray of bool, shape (n, variants)
        Where a free unknown is pinned after all
    slow, anchor : ndarray, shape (n, variants)
        Inertia of unknowns that are led, and where they come from (`paced`)
    """

    slow: Array | None = None
    anchor: Array

    def __init__(self, system: System) -> None:
        self.system = system
        self.variants = system.variants
        total = len(system.unknowns)
        shape = (total, self.variants)  # -1 cannot be told where there are no unknowns
        pinned = np.array([u.pinned for u in system.unknowns], dtype=bool).reshape(shape)
        self.pins = np.array([u.pin for u in system.unknowns]).reshape(shape)
        self.scale = np.array([u.scale for u in system.unknowns])
        self.row_scale = np.array([u.row for u in system.unknowns])
        self.free: Ints = np.flatnonzero(~pinned.all(axis=1))
        self.n = len(self.free)
        self.stay: Bools = pinned[self.free]
        self.all_pinned = pinned
        place = np.full(total, -1)
        place[self.free] = np.arange(self.n)
        self.pressure_rows: Bools = np.array(
            [system.unknowns[i].kind == "pressure" for i in self.free], dtype=bool
        )
        by_law: dict[tuple[str, tuple[tuple[int, ...], ...]], list[Element]] = {}
        for element in system.elements:
            by_law.setdefault((element.law, _sizes(element)), []).append(element)
        raw: list[tuple[Law, list[Element], Ints, tuple[Ints, Ints, Ints, Array]]] = []
        keys: list[Ints] = [np.arange(self.n) * (self.n + 1)]
        for (word, _), elements in by_law.items():
            law = LAWS[word]
            terminals = np.array([e.terminals for e in elements], dtype=np.int64).T
            count = len(elements)
            index = np.arange(count)
            key, source, weight = [], [], []
            for stamp in law.stamps:
                row = place[terminals[stamp.terminal]]
                for t in range(law.terminals):
                    column = place[terminals[t]]
                    good = (row >= 0) & (column >= 0)
                    key.append((row * self.n + column)[good])
                    source.append(((stamp.value * law.terminals + t) * count + index)[good])
                    scale = self.scale[terminals[t]] / self.row_scale[terminals[stamp.terminal]]
                    weight.append((stamp.sign * scale)[good])
            found = (np.concatenate(key), np.concatenate(source), index, np.concatenate(weight))
            keys.append(found[0])
            raw.append((law, elements, terminals, found))
        pattern = np.unique(np.concatenate(keys)) if self.n else np.zeros(0, dtype=np.int64)
        self.rows, self.columns = np.divmod(pattern, max(self.n, 1))
        self.diagonal: Ints = np.searchsorted(pattern, np.arange(self.n) * (self.n + 1))
        self.groups = [
            self._group(
                law, elements, terminals, np.searchsorted(pattern, key), source, weight, total
            )
            for law, elements, terminals, (key, source, _, weight) in raw
        ]
        self.entries = len(pattern)

    def _group(
        self,
        law: Law,
        elements: list[Element],
        terminals: Ints,
        entry: Ints,
        source: Ints,
        weight: Array,
        total: int,
    ) -> Group:
        count, values = len(elements), len(law.values)
        index = np.arange(count)
        rows = np.concatenate([terminals[s.terminal] for s in law.stamps])
        columns = np.concatenate([s.value * count + index for s in law.stamps])
        signs = np.concatenate([np.full(count, s.sign) for s in law.stamps])
        return Group(
            law=law,
            elements=elements,
            terminals=terminals,
            coefficients={
                name: _stacked(name, default, elements, self.variants)
                for name, default in law.coefficients.items()
            },
            to_rows=sp.csr_matrix((signs, (rows, columns)), shape=(total, values * count)),
            to_entries=sp.csr_matrix(
                (weight, (entry, source)),
                shape=(len(self.rows), values * law.terminals * count),
            ),
        )

    def paced(self, slow: Array, anchor: Array) -> Equations:
        """Give the same equations with an inertia: balance = slow (x - anchor).

        It is one implicit step in time from ``anchor``; both (n, variants), scaled.
        """
        found = copy.copy(self)
        found.slow, found.anchor = slow, anchor
        return found

    def full(self, x: Array, which: Ints | slice = slice(None)) -> Array:
        """Give all unknowns in SI, (unknowns, variants), from the scaled free ones."""
        whole = self.pins[:, which].copy()
        whole[self.free] = x * self.scale[self.free, None]
        return whole

    def start(self) -> Array:
        """Give the cold start, shape (n, variants): zero but for what is pinned and for the
        shafts of drives, which run idle (a drive is started before it is loaded)."""
        whole = np.where(self.all_pinned, self.pins, 0.0)
        for element in self.system.elements:
            if element.law == "slip":
                shaft = element.terminals[0]
                idle = element.coefficients["idle"]
                whole[shaft] = np.where(self.all_pinned[shaft], whole[shaft], idle)
        for element in (e for e in self.system.elements if e.law == "coupling"):
            first, second = element.terminals
            turned = whole[first] / element.coefficients["ratio"]
            whole[second] = np.where(self.all_pinned[second], whole[second], turned)
        start: Array = whole[self.free] / self.scale[self.free, None]
        return start

    def values(
        self, whole: Array, s: Smoothing, which: Ints | slice = slice(None)
    ) -> list[tuple[Array, Array]]:
        """Evaluate every law; ``which`` picks variants."""
        return [
            g.law.evaluate(
                whole[g.terminals],
                {k: (c if c.shape[-1] == 1 else c[..., which]) for k, c in g.coefficients.items()},
                s,
            )
            for g in self.groups
        ]

    def balance(self, values: list[tuple[Array, Array]], variants: int) -> Array:
        """Sum of all that flows into each unknown's balance, SI, (unknowns, variants)."""
        total = np.zeros((len(self.scale), variants))
        for group, (value, _) in zip(self.groups, values, strict=True):
            total += group.to_rows @ value.reshape(-1, variants)
        return total

    def residual(
        self, x: Array, s: Smoothing, which: Ints | slice = slice(None)
    ) -> tuple[Array, Array]:
        """Give the scaled residual (n, variants) and Jacobian entries (entries, variants)."""
        whole = self.full(x, which)
        variants = whole.shape[1]
        values = self.values(whole, s, which)
        r = self.balance(values, variants)[self.free] / self.row_scale[self.free, None]
        entries = np.zeros((self.entries, variants))
        for group, (_, slope) in zip(self.groups, values, strict=True):
            entries += group.to_entries @ slope.reshape(-1, variants)
        if self.slow is not None:
            slow = self.slow[:, which]
            r = r - slow * (x - self.anchor[:, which])
            entries[self.diagonal] -= slow
        stay = self.stay[:, which]
        if stay.any():
            r = np.where(stay, 0.0, r)
            entries[stay[self.rows]] = 0.0
            entries[self.diagonal] += stay
        return r, entries
