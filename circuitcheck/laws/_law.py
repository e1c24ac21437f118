"""The contract of an element law."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Protocol, runtime_checkable

import numpy as np

from circuitcheck.laws.smoothing import Array, Smoothing


@runtime_checkable
class Prepares(Protocol):
    """A law that reckons some figures once for a circuit, not in every evaluation."""

    def prepared(self, c: Mapping[str, Array], variants: int) -> Mapping[str, Array]:
        """Give further coefficients from those of the elements, which are passed on too."""


@dataclass(frozen=True)
class Stamp:
    """Value number ``value`` enters the balance of terminal ``terminal`` with this sign."""

    value: int
    terminal: int
    sign: float


@dataclass(frozen=True)
class Slope:
    """How d value/d terminal follows from the rows that a law fills.

    It is row number ``row`` times ``factor``, times the coefficient ``times`` where one is
    named; without a row (None) it is factor and coefficient alone.
    """

    value: int
    terminal: int
    row: int | None
    factor: float = 1.0
    times: str = ""


class Law:
    """A law joins a fixed number of terminals (unknowns) and gives some values.

    ``coefficients`` names its figures; a value missing in an element is taken from the
    mapping. Values that enter balances (``stamps``) come first, and ``slopes`` say how their
    derivatives are made from the ``rows`` that the law fills; what is not named there is
    zero. A flow value counts from the first to the second terminal.
    """

    word: ClassVar[str]
    terminals: ClassVar[int]
    values: ClassVar[tuple[str, ...]]
    stamps: ClassVar[tuple[Stamp, ...]]
    slopes: ClassVar[tuple[Slope, ...]]
    coefficients: ClassVar[Mapping[str, float]]

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        """Evaluate all elements in all variants, into the arrays given.

        Parameters
        ----------
        x : ndarray, shape (terminals, elements, variants)
            The unknowns at the terminals, SI
        c : mapping of ndarray
            Coefficients; they broadcast to (elements, variants)
        value : ndarray, shape (values, elements, variants)
            Filled with the values; where it is shorter, with the first of them
        rows : ndarray, shape (rows, elements, variants)
            Filled with what the ``slopes`` are made from
        """
        raise NotImplementedError

    @property
    def used(self) -> int:
        """Number of values that enter balances."""
        return 1 + max(stamp.value for stamp in self.stamps)

    @property
    def rows(self) -> int:
        """Number of rows that the slopes are made from."""
        return 1 + max((s.row for s in self.slopes if s.row is not None), default=-1)

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        """Give all values, (values, elements, variants), and the derivatives of those that
        enter balances, (used values, terminals, elements, variants)."""
        shape = x.shape[1:]
        value, rows = np.empty((len(self.values), *shape)), np.empty((self.rows, *shape))
        self.fill(x, c, s, value, rows)
        slope = np.zeros((self.used, self.terminals, *shape))
        for one in self.slopes:
            row = 1.0 if one.row is None else rows[one.row]
            slope[one.value, one.terminal] += one.factor * row * (c[one.times] if one.times else 1)
        return value, slope


PASSAGE = (Stamp(0, 0, -1.0), Stamp(0, 1, 1.0))
"""Stamps of a passage: the flow leaves terminal 0 and enters terminal 1."""

BY_DROP = (Slope(0, 0, 0), Slope(0, 1, 0, -1.0))
"""Slopes of a passage whose flow follows the drop from terminal 0 to 1."""

BAR = 1e5
L_MIN = 1e-3 / 60.0
