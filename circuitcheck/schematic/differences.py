"""Compaction as a linear programme: places on a line, least distances, lengths to shorten.

All distances are whole modules, so that the best corner of the programme is whole, too.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import coo_array

_GIVEN_UP = 200.0
"""Cost of each module by which a demand that may be given up is missed."""


_FAR = 100_000.0
"""No place is farther from the first one [M]."""


class UnplaceableError(Exception):
    """The least distances contradict each other."""


@dataclass
class Differences:
    """Collects constraints between named places and solves for the places [M]."""

    _places: dict[str, int] = field(default_factory=dict)
    _rows: list[tuple[list[tuple[int, float]], float]] = field(default_factory=list)
    _costs: dict[int, float] = field(default_factory=dict)
    _extra: int = 0

    def place(self, name: str) -> int:
        return self._places.setdefault(name, len(self._places) + self._extra)

    def _slack(self) -> int:
        self._extra += 1
        return len(self._places) + self._extra - 1

    def at_least(self, low: str, high: str, distance: float) -> None:
        """Demand high - low >= distance; the distance is rounded up to whole modules."""
        whole = float(np.ceil(distance - 1e-6))
        self._rows.append(([(self.place(low), 1.0), (self.place(high), -1.0)], -whole))

    def should(self, low: str, high: str, distance: float) -> None:
        """Ask for high - low >= distance; given up only where nothing else is possible."""
        a, b = self.place(low), self.place(high)
        slack = self._slack()
        whole = float(np.ceil(distance - 1e-6))
        self._rows.append(([(a, 1.0), (b, -1.0), (slack, -1.0)], -whole))
        self._costs[slack] = _GIVEN_UP

    def equal(self, first: str, second: str, distance: float = 0.0) -> None:
        """Demand second - first == distance."""
        self.at_least(first, second, distance)
        self.at_least(second, first, -distance)

    def shorten(self, first: str, second: str, offset: float, weight: float) -> None:
        """Make |second - first - offset| small."""
        a, b = self.place(first), self.place(second)
        slack = self._slack()
        self._rows.append(([(b, 1.0), (a, -1.0), (slack, -1.0)], offset))
        self._rows.append(([(a, 1.0), (b, -1.0), (slack, -1.0)], -offset))
        self._costs[slack] = weight

    def pull(self, low: str, high: str, weight: float) -> None:
        """Make high - low small (it is kept from below by constraints)."""
        for name, sign in ((high, weight), (low, -weight)):
            at = self.place(name)
            self._costs[at] = self._costs.get(at, 0.0) + sign

    def solve(self) -> dict[str, int]:
        """Give the place of every name; UnplaceableError if the constraints contradict."""
        size = len(self._places) + self._extra
        rows, columns, values, limits = [], [], [], []
        for number, (terms, limit) in enumerate(self._rows):
            limits.append(limit)
            for column, value in terms:
                rows.append(number)
                columns.append(column)
                values.append(value)
        cost = np.zeros(size)
        for column, value in self._costs.items():
            cost[column] = value
        matrix: Any = coo_array((values, (rows, columns)), shape=(len(limits), size)).tocsr()
        named = set(self._places.values())
        first = min(named, default=0)
        bounds: list[tuple[float | None, float | None]] = [
            (0.0, 0.0) if k == first else (-_FAR, _FAR) if k in named else (0.0, None)
            for k in range(size)
        ]
        result = linprog(cost, A_ub=matrix, b_ub=limits, bounds=bounds, method="highs-ds")
        if not result.success or result.x is None:
            raise UnplaceableError(str(result.message))
        return {name: round(float(result.x[at])) for name, at in self._places.items()}
