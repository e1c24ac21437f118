"""The equations as arrays: pattern, scales and figures of all variants."""

from __future__ import annotations

import copy
from functools import cached_property
from typing import Any

import numpy as np
import scipy.sparse as sp

from circuitcheck.laws.net import System
from circuitcheck.laws.smoothing import Array, Smoothing
from circuitcheck.solver.chosen import Chosen
from circuitcheck.solver.elimination import Plan, plan_for
from circuitcheck.solver.factors import Ordering
from circuitcheck.solver.groups import Ints, gathered, grouped, spread

Bools = np.ndarray[Any, np.dtype[np.bool_]]

__all__ = ["Bools", "Chosen", "Equations", "Ints"]


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
    figures : ndarray, shape (figures, variants)
        All figures of elements in which variants differ
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
        whole = pinned.all(axis=1)
        self.free: Ints = np.flatnonzero(~whole)
        self.held: Ints = np.flatnonzero(whole)
        self.n = len(self.free)
        self.stay: Bools = pinned[self.free]
        self.all_pinned = pinned
        kinds = [system.unknowns[i].kind for i in self.free]
        self.pressure_rows: Bools = np.array([kind == "pressure" for kind in kinds], dtype=bool)
        self.groups = grouped(system.elements, self.variants)
        self.figures = gathered(self.groups, self.variants)
        for group, own in zip(self.groups, spread(self.groups, self.figures), strict=True):
            group.coefficients = own
        # free unknowns come first in the arrays that laws are evaluated from, then held ones
        self.place = np.empty(total, dtype=np.int64)
        self.place[np.concatenate([self.free, self.held])] = np.arange(total)
        for group in self.groups:
            group.at = self.place[group.terminals]
        self._assemble(total)

    def _assemble(self, total: int) -> None:
        """Find the pattern, and the matrices that add flows up to balances, slopes to entries."""
        n = self.n
        self.flows = sum(group.flows for group in self.groups)
        self.slopes = 1 + sum(group.slopes for group in self.groups)  # the last row is ones
        flow_row, flow_at, sign = [], [], []
        free_row, free_at, share = [], [], []
        key, source, weight = [np.arange(n) * (n + 1)], [], []
        for group in self.groups:
            index = group.first_flow + np.arange(group.count)
            slopes = list(group.sources(self.slopes - 1))
            for stamp in group.law.stamps:
                balance = group.terminals[stamp.terminal]
                flow_row.append(balance)
                flow_at.append(stamp.value * group.count + index)
                sign.append(np.full(group.count, stamp.sign))
                row = self.place[balance]
                inner = row < n
                free_row.append(row[inner])
                free_at.append(flow_at[-1][inner])
                share.append(stamp.sign / self.row_scale[balance[inner]])
                for slope, rows, factor in slopes:
                    if slope.value != stamp.value:
                        continue
                    unknown = group.terminals[slope.terminal]
                    column = self.place[unknown]
                    good = inner & (column < n) & (factor != 0.0)
                    key.append((row * n + column)[good])
                    source.append(rows[good])
                    scaled = stamp.sign * factor * self.scale[unknown] / self.row_scale[balance]
                    weight.append(scaled[good])
        pattern = np.unique(np.concatenate(key))
        self.rows, self.columns = np.divmod(pattern, max(n, 1))
        self.diagonal: Ints = np.searchsorted(pattern, np.arange(n) * (n + 1))
        self.entries = len(pattern)
        self.to_unknowns = _matrix(sign, flow_row, flow_at, (total, self.flows))
        self.to_free = _matrix(share, free_row, free_at, (n, self.flows))
        at = [np.searchsorted(pattern, k) for k in key[1:]]
        self.to_entries = _matrix(weight, at, source, (self.entries, self.slopes))

    @cached_property
    def row_starts(self) -> Ints:
        """Where the entries of each row begin."""
        return np.searchsorted(self.rows, np.arange(self.n))

    @cached_property
    def plan(self) -> Plan:
        """Order in which the unknowns are eliminated."""
        return plan_for(self.n, self.rows, self.columns, ~self.pressure_rows)

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
        x = self.held_at(np.zeros((self.n, self.variants)))
        elements = self.system.elements
        for element in (e for e in elements if e.law == "slip"):
            self._turn(x, element.terminals[0], element.coefficients["idle"])
        for element in (e for e in elements if e.law == "coupling"):
            first, second = element.terminals
            at = self.place[first]
            speed = x[at] * self.scale[first] if at < self.n else self.pins[first]
            self._turn(x, second, speed / element.coefficients["ratio"])
        return x

    def _turn(self, x: Array, shaft: int, speed: Array) -> None:
        """Let a shaft that is not held turn at a speed [rad/s]."""
        row = self.place[shaft]
        if row < self.n:
            x[row] = np.where(self.stay[row], x[row], speed / self.scale[shaft])

    def held_at(self, x: Array, which: Ints | None = None) -> Array:
        """Put what is pinned in some variants to where it is held; x of shape (n, variants), or
        (n, len(which))."""
        if not self.stay.any():
            return x
        chosen = slice(None) if which is None else which
        pins = self.pins[self.free][:, chosen] / self.scale[self.free, None]
        return np.where(self.stay[:, chosen], pins, x)

    def scaled(self, whole: Array) -> Array:
        """Give the scaled free unknowns of all in SI, (unknowns, variants)."""
        free: Array = whole[self.free] / self.scale[self.free, None]
        return free

    def chosen(self, which: Ints) -> Chosen:
        """Give the equations of the variants ``which``."""
        return Chosen(self, which)

    def full(self, x: Array) -> Array:
        """Give all unknowns of all variants in SI, (unknowns, variants), from the free ones."""
        whole = np.empty((len(self.scale), x.shape[1]))
        whole[self.held] = self.pins[self.held]
        whole[self.free] = x * self.scale[self.free, None]
        return whole

    def values(self, number: int, whole: Array, s: Smoothing) -> Array:
        """Evaluate one group in all variants: its values, (values, elements, variants)."""
        group = self.groups[number]
        shape = (group.count, whole.shape[1])
        value = np.empty((len(group.law.values), *shape))
        rows = np.empty((group.law.rows, *shape))
        group.law.fill(whole[group.terminals], group.coefficients, s, value, rows)
        return value

    def balance(self, values: list[Array]) -> Array:
        """Sum of all that flows into each unknown's balance, SI, (unknowns, variants); from
        the values of all groups."""
        if not values:
            return np.zeros((len(self.scale), 1))
        used = [
            value[: group.law.used].reshape(group.flows, -1)
            for group, value in zip(self.groups, values, strict=True)
        ]
        found: Array = self.to_unknowns @ np.concatenate(used)
        return found


def _matrix(figures: list[Array], rows: list[Ints], columns: list[Ints], shape: Any) -> Any:
    """A sparse matrix from its figures and their places, in pieces."""
    if not figures:
        return sp.csr_matrix(shape)
    places = np.concatenate(rows), np.concatenate(columns)
    return sp.csr_matrix((np.concatenate(figures), places), shape=shape)
