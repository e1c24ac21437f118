"""All elements of one law as arrays, and where their flows and slopes go."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from circuitcheck.laws._law import Law, Prepares, Slope
from circuitcheck.laws.library import LAWS
from circuitcheck.laws.net import Element
from circuitcheck.laws.smoothing import Array

FEW = 50
"""Variants up to which figures are put into whole arrays before it is asked which differ."""

Ints = np.ndarray[Any, np.dtype[np.int64]]


@dataclass
class Group:
    """All elements of one law: terminals (terminals, elements), coefficients (elements, V),
    those of a table with its axes in front.

    In the arrays of all flows and of all slopes the group begins at ``first_flow`` and
    ``first_slope``. ``more`` are slopes that the law gives as one of its rows times a
    coefficient in which variants differ: further rows, behind those of the law. ``at`` are
    the places of the terminals in the array of unknowns that the law is evaluated from.
    """

    law: Law
    elements: list[Element]
    terminals: Ints
    coefficients: dict[str, Array]
    first_flow: int
    first_slope: int
    more: list[Slope] = field(default_factory=list)
    at: Ints = field(init=False)

    @cached_property
    def varying(self) -> list[str]:
        """Names of the coefficients in which variants differ."""
        return [name for name, figures in self.coefficients.items() if figures.shape[-1] > 1]

    @property
    def count(self) -> int:
        return len(self.elements)

    @property
    def flows(self) -> int:
        """Rows that the group takes among the flows."""
        return self.law.used * self.count

    @property
    def slopes(self) -> int:
        """Rows that the group takes among the slopes."""
        return (self.law.rows + len(self.more)) * self.count

    def sources(self, one: int) -> Iterator[tuple[Slope, Ints, Array]]:
        """Give for each slope of the law the rows it is made from, (elements,), and by what
        these are multiplied; ``one`` is the number of a row of ones."""
        index = np.arange(self.count)
        for slope in self.law.slopes:
            factor = np.full(self.count, slope.factor)
            if slope in self.more:
                row: int | None = self.law.rows + self.more.index(slope)
            else:
                row = slope.row
                if slope.times:
                    factor = factor * self.coefficients[slope.times][:, 0]
            if row is None:
                yield slope, np.full(self.count, one), factor
            else:
                yield slope, self.first_slope + row * self.count + index, factor


def grouped(elements: list[Element], variants: int) -> list[Group]:
    """Put elements of one law, with tables of one size, into one group."""
    by_law: dict[tuple[str, tuple[tuple[int, ...], ...]], list[Element]] = {}
    for element in elements:
        by_law.setdefault((element.law, _sizes(element)), []).append(element)
    groups: list[Group] = []
    flows = slopes = 0
    for (word, _), own in by_law.items():
        law = LAWS[word]
        coefficients = {
            name: _stacked(name, default, own, variants)
            for name, default in law.coefficients.items()
        }
        more = [s for s in law.slopes if s.times and coefficients[s.times].shape[-1] > 1]
        if isinstance(law, Prepares):
            coefficients |= law.prepared(coefficients, variants)
        terminals = np.array([e.terminals for e in own], dtype=np.int64).T
        group = Group(law, own, terminals, coefficients, flows, slopes, more)
        groups.append(group)
        flows, slopes = flows + group.flows, slopes + group.slopes
    return groups


def gathered(groups: list[Group], variants: int) -> Array:
    """Put all figures in which variants differ into one array, (figures, variants)."""
    rows = [g.coefficients[name].reshape(-1, variants) for g in groups for name in g.varying]
    return np.concatenate(rows) if rows else np.empty((0, variants))


def spread(groups: list[Group], figures: Array) -> list[dict[str, Array]]:
    """Give the coefficients of each group, those that vary as parts of ``figures``."""
    found: list[dict[str, Array]] = []
    at = 0
    for group in groups:
        own = dict(group.coefficients) if group.varying else group.coefficients
        for name in group.varying:
            shape = own[name].shape[:-1]
            count = math.prod(shape)
            own[name] = figures[at : at + count].reshape(*shape, figures.shape[1])
            at += count
        found.append(own)
    return found


def _sizes(element: Element) -> tuple[tuple[int, ...], ...]:
    """Give the shapes of an element's tables: only tables of one size go into one group."""
    return tuple(c.shape for c in element.coefficients.values() if c.ndim > 1)


def _stacked(name: str, default: float, elements: list[Element], variants: int) -> Array:
    """One coefficient of a group, shape (..., elements, 1) where no variant differs."""
    if variants <= FEW:  # quicker for large networks
        given = [e.coefficients.get(name) for e in elements]
        none = np.full(variants, default)
        whole = np.stack([none if row is None else row for row in given], axis=-2)
        return whole[..., :1] if np.all(whole == whole[..., :1]) else whole
    rows = [_narrow(e.coefficients.get(name), default) for e in elements]
    if all(row.shape[-1] == 1 for row in rows):
        return np.stack(rows, axis=-2)
    return np.stack([np.broadcast_to(row, (*row.shape[:-1], variants)) for row in rows], axis=-2)


def _narrow(row: Array | None, default: float) -> Array:
    """A coefficient of one element, of length 1 along the variants where none differs."""
    if row is None:
        return np.array([default])
    first = row[..., :1]
    same = row.strides[-1] == 0 or bool((row == first).all())
    return first if same else row
