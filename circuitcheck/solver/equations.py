"""The equations as arrays: pattern, scales and figures of all variants."""

from __future__ import annotations

import copy
from typing import Any

import numpy as np

from circuitcheck.laws.net import System
from circuitcheck.laws.smoothing import Array, Smoothing
from circuitcheck.solver.chosen import Chosen
from circuitcheck.solver.groups import Ints, gathered, grouped, spread
from circuitcheck.solver.pattern import Pattern, decides

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
    pattern : Pattern
        Where the Jacobian has entries, and in which order it is factorised; that of the
        equations ``before`` where these have the same
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

    def __init__(self, system: System, before: Equations | None = None) -> None:
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
        self._decides = decides(self.groups, self.place, self.n, self.scale, self.row_scale)
        same = before is not None and self._decides == before._decides
        self.pattern: Pattern = before.pattern if before and same else self._pattern()

    def _pattern(self) -> Pattern:
        return Pattern(
            self.groups, self.place, self.n, self.scale, self.row_scale, self.pressure_rows
        )

    def alike(self, other: Equations) -> bool:
        """Whether they differ from others in figures alone, none of which comes or goes."""
        return (
            self.pattern is other.pattern
            and np.array_equal(self.stay, other.stay)
            and all(
                np.array_equal(own == 0.0, group.coefficients[name] == 0.0)
                for mine, group in zip(self.groups, other.groups, strict=True)
                for name, own in mine.coefficients.items()
            )
        )

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
        found: Array = self.pattern.to_unknowns @ np.concatenate(used)
        return found
