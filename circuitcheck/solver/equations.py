"""The equations as arrays: residual and Jacobian of all variants at once."""

from __future__ import annotations

import copy
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import scipy.sparse as sp

from circuitcheck.laws._law import Law, Prepares
from circuitcheck.laws.library import LAWS
from circuitcheck.laws.net import Element, System
from circuitcheck.laws.smoothing import Array, Smoothing
from circuitcheck.solver.elimination import Plan
from circuitcheck.solver.factors import Ordering

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
    used: int  # number of values, from the first, that enter balances
    to_rows: Any  # csr (unknowns, used values x elements), SI
    to_entries: Any  # csr (entries, used values x terminals x elements)


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
    sparse : bool
        Whether to take the factors of large circuits whatever the size
    slow, anchor : ndarray, shape (n, variants)
        Inertia of unknowns that are led, and where they come from (`paced`)
    """

    sparse = False
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
        self.held: Ints = np.flatnonzero(pinned.all(axis=1))
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
        scale = sp.diags_array(1.0 / self.row_scale[self.free])
        none = [sp.csr_matrix((total, 0))], [sp.csr_matrix((self.entries, 0))]
        self.to_free = (
            scale @ sp.hstack([g.to_rows for g in self.groups] or none[0], "csr")[self.free]
        )
        self.to_entries = sp.hstack([g.to_entries for g in self.groups] or none[1], "csr")

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
        count, used = len(elements), 1 + max(stamp.value for stamp in law.stamps)
        index = np.arange(count)
        rows = np.concatenate([terminals[s.terminal] for s in law.stamps])
        columns = np.concatenate([s.value * count + index for s in law.stamps])
        signs = np.concatenate([np.full(count, s.sign) for s in law.stamps])
        to_rows = sp.csr_matrix((signs, (rows, columns)), shape=(total, used * count))
        coefficients = {
            name: _stacked(name, default, elements, self.variants)
            for name, default in law.coefficients.items()
        }
        if isinstance(law, Prepares):
            coefficients |= law.prepared(coefficients, self.variants)
        return Group(
            law=law,
            elements=elements,
            terminals=terminals,
            coefficients=coefficients,
            used=used,
            to_rows=to_rows,
            to_entries=sp.csr_matrix(
                (weight, (entry, source)),
                shape=(len(self.rows), used * law.terminals * count),
            ),
        )

    @cached_property
    def plan(self) -> Plan:
        """Order in which the unknowns are eliminated."""
        return Plan(self.n, self.rows, self.columns, ~self.pressure_rows)

    @cached_property
    def ordering(self) -> Ordering:
        """The same for a large circuit."""
        return Ordering(self.n, self.rows, self.columns)

    def paced(self, slow: Array, anchor: Array) -> Equations:
        """Give the same equations with an inertia: balance = slow (x - anchor).

        It is one implicit step in time from ``anchor``; both (n, variants), scaled.
        """
        found = copy.copy(self)
        found.slow, found.anchor = slow, anchor
        return found

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
        return self.scaled(whole)

    def held_at(self, x: Array) -> Array:
        """Put what is pinned in some variants to where it is held; x of shape (n, variants)."""
        pins = self.pins[self.free] / self.scale[self.free, None]
        return np.where(self.stay, pins, x)

    def scaled(self, whole: Array) -> Array:
        """Give the scaled free unknowns of all in SI, (unknowns, variants)."""
        free: Array = whole[self.free] / self.scale[self.free, None]
        return free

    def chosen(self, which: Ints) -> Chosen:
        """Give the equations of the variants ``which``."""
        return Chosen(self, which)

    def full(self, x: Array) -> Array:
        """Give all unknowns of all variants in SI, (unknowns, variants), from the free ones."""
        return self.chosen(np.arange(self.variants)).full(x)

    def values(self, whole: Array, s: Smoothing) -> list[tuple[Array, Array]]:
        """Evaluate every law in all variants: values and slopes as `Law.evaluate` gives."""
        return self.chosen(np.arange(self.variants)).values(whole, s)

    def balance(self, values: list[tuple[Array, Array]]) -> Array:
        """Sum of all that flows into each unknown's balance, SI, (unknowns, variants)."""
        return sum(
            (
                group.to_rows @ value[: group.used].reshape(-1, value.shape[-1])
                for group, (value, _) in zip(self.groups, values, strict=True)
            ),
            start=np.zeros((len(self.scale), 1)),
        )


class Chosen:
    """The equations with the figures of some variants, one a place.

    A place can be given to another variant when its own is finished, so that thousands of
    variants pass through arrays of a fixed size.
    """

    def __init__(self, equations: Equations, which: Ints) -> None:
        self.equations = equations
        self.whole = len(which) == equations.variants and bool(
            (which == np.arange(equations.variants)).all()
        )
        self.pins = _of(equations.pins, which, self.whole)
        self.stay = _of(equations.stay, which, self.whole)
        self.stays = bool(equations.stay.any())
        self.slow = None if equations.slow is None else equations.slow[:, which]
        self.anchor = None if equations.slow is None else equations.anchor[:, which]
        self.figures = [
            {name: _of(c, which, self.whole) for name, c in group.coefficients.items()}
            for group in equations.groups
        ]

    def refill(self, places: Ints, which: Ints) -> None:
        """Give the places to other variants."""
        full = self.equations
        if self.whole:
            raise ValueError("the figures of all variants are shared, they cannot be refilled")
        self.pins[:, places] = full.pins[:, which]
        self.stay[:, places] = full.stay[:, which]
        if self.slow is not None and self.anchor is not None and full.slow is not None:
            self.slow[:, places] = full.slow[:, which]
            self.anchor[:, places] = full.anchor[:, which]
        for group, figures in zip(full.groups, self.figures, strict=True):
            for name, own in figures.items():
                if own.shape[-1] > 1:
                    own[..., places] = group.coefficients[name][..., which]

    def keep(self, places: Ints) -> None:
        """Give up all places but these."""
        self.pins = self.pins[:, places]
        self.stay = self.stay[:, places]
        if self.slow is not None and self.anchor is not None:
            self.slow, self.anchor = self.slow[:, places], self.anchor[:, places]
        self.figures = [
            {name: c if c.shape[-1] == 1 else c[..., places] for name, c in figures.items()}
            for figures in self.figures
        ]
        self.whole = False

    def full(self, x: Array) -> Array:
        """Give all unknowns in SI, (unknowns, places), from the scaled free ones."""
        full = self.equations
        whole = np.empty((len(full.scale), x.shape[1]))
        whole[full.held] = self.pins[full.held]
        whole[full.free] = x * full.scale[full.free, None]
        return whole

    def values(self, whole: Array, s: Smoothing) -> list[tuple[Array, Array]]:
        """Evaluate every law."""
        return [
            group.law.evaluate(whole[group.terminals], figures, s)
            for group, figures in zip(self.equations.groups, self.figures, strict=True)
        ]

    def residual(self, x: Array, s: Smoothing) -> tuple[Array, Array]:
        """Give the scaled residual (n, places) and Jacobian entries (entries, places)."""
        full = self.equations
        values = self.values(self.full(x), s)
        many = x.shape[1]
        flows, slopes = [np.zeros((0, many))], [np.zeros((0, many))]
        for group, (value, slope) in zip(full.groups, values, strict=True):
            flows.append(value[: group.used].reshape(-1, many))
            slopes.append(slope[: group.used].reshape(-1, many))
        r: Array = full.to_free @ np.concatenate(flows)
        entries: Array = full.to_entries @ np.concatenate(slopes)
        if self.slow is not None and self.anchor is not None:
            r -= self.slow * (x - self.anchor)
            entries[full.diagonal] -= self.slow
        if self.stays:
            r[self.stay] = 0.0
            entries[self.stay[full.rows]] = 0.0
            entries[full.diagonal] += self.stay
        return r, entries


def _of(figures: Any, which: Ints, whole: bool) -> Any:
    """Figures of some variants; those that no variant differs in stay one."""
    return figures if whole or figures.shape[-1] == 1 else figures[..., which]
