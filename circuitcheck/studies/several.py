"""Several figures that are to meet targets: least squares within bounds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from scipy.optimize import least_squares
from scipy.stats import qmc

from circuitcheck.laws.smoothing import Array
from circuitcheck.studies.targets import CLOSE
from circuitcheck.studies.trials import Trials

STARTS, SCANNED = 3, 40
"""Starts of the fit beside what the text has: the best of so many points scanned for each
figure; own choice."""

FEW = 8
"""Points over the ranges that are tried before anything else."""

STEP = 1e-4
"""Step of a difference, as a share of the range."""

PULL = 1e-4
"""Weight by which a figure is held where it is, so that one answer is left of many."""

MET = 1e-7
"""Half the sum of squares below which all targets are met and only the figures pull."""

UNKNOWN = 10.0
"""What a trial without an answer counts as missed."""


class _Fit:
    """Targets as functions of the figures, each brought to 0 to 1 over its range."""

    def __init__(
        self, trials: Trials, ranges: Sequence[tuple[float, float]], present: Array
    ) -> None:
        self._trials = trials
        self._known: tuple[Array, Array] | None = None
        self._low = np.array([low for low, _ in ranges])
        self._high = np.array([high for _, high in ranges])
        self._by_share = (self._low > 0.0) & (self._high > 2.0 * self._low)
        self.home = np.clip(np.nan_to_num(self.share(present), nan=0.5), 0.0, 1.0)

    def share(self, values: Array) -> Array:
        """Give where values [SI], (figures,), lie in their ranges."""
        with np.errstate(invalid="ignore", divide="ignore"):
            even = (values - self._low) / (self._high - self._low)
            ratio = np.log(values / self._low) / np.log(self._high / self._low)
        found: Array = np.where(self._by_share, ratio, even)
        return found

    def values(self, shares: Array) -> Array:
        """Give the values [SI] of shares, (figures, trials)."""
        low, high = self._low[:, None], self._high[:, None]
        even = low + (high - low) * shares
        with np.errstate(invalid="ignore", divide="ignore"):
            ratio = low * (high / low) ** shares
        found: Array = np.where(self._by_share[:, None], ratio, even)
        return found

    def off(self, shares: Array) -> Array:
        """Give what is missed, (targets + figures, trials); the latter hold the figures."""
        results = self._trials.results(self.values(shares))
        rows = [
            np.nan_to_num(t.off(y), nan=UNKNOWN)
            for t, y in zip(self._trials.targets, results, strict=True)
        ]
        pull = PULL * (shares - self.home[:, None])
        return np.vstack([np.array(rows), pull])

    def one(self, shares: Array) -> Array:
        """Give what one trial misses."""
        return self._near(shares)[:, 0]

    def slopes(self, shares: Array) -> Array:
        """Give how that changes with the shares, (targets + figures, figures)."""
        found = self._near(shares)
        slopes: Array = (found[:, 1:] - found[:, [0]]) / _step(shares)
        return slopes

    def _near(self, shares: Array) -> Array:
        """Give what a trial misses, and those beside it, one for each figure: solved together."""
        if self._known is None or not np.array_equal(self._known[0], shares):
            moved = shares[:, None] + np.diag(_step(shares))
            self._known = shares.copy(), self.off(np.hstack([shares[:, None], moved]))
        return self._known[1]


def _step(shares: Array) -> Array:
    step: Array = np.where(shares + STEP <= 1.0, STEP, -STEP)
    return step


def solve(
    trials: Trials, ranges: Sequence[tuple[float, float]], present: Array
) -> Array:  # fmt: skip
    """Give the figures, (figures,) [SI], that miss the targets least.

    From what the text has, and where that does not lead to them from the best points of a
    scan (a Latin hypercube), the sum of the squares of what is missed is made least within
    bounds (trust region reflective). Where many figures meet all targets, some near those of
    the text are taken.
    """
    fit = _Fit(trials, ranges, present)
    best, least = fit.home, np.inf
    for start in _starts(fit, len(ranges)):
        found = least_squares(
            fit.one, np.clip(start, 1e-6, 1.0 - 1e-6), jac=fit.slopes, bounds=(0.0, 1.0),
            xtol=1e-8, ftol=1e-9, gtol=1e-12, max_nfev=40,
        )  # fmt: skip
        if found.cost < least * (1.0 - CLOSE):
            best, least = found.x, found.cost
        if least < MET:
            break
    return fit.values(best[:, None])[:, 0]


def _starts(fit: _Fit, count: int) -> Iterator[Array]:
    """Give shares to start from, one after the other; the scan is made only when asked for."""
    fit.off(_drawn(count, FEW))  # shows whether the figures can be varied over their ranges
    yield fit.home
    drawn = _drawn(count, SCANNED * count)
    missed = np.sum(fit.off(drawn) ** 2, axis=0)
    for number in np.argsort(missed, kind="stable")[:STARTS]:
        yield drawn[:, number]


def _drawn(count: int, points: int) -> Array:
    """Give shares spread over all ranges, (figures, points)."""
    found: Array = qmc.LatinHypercube(d=count, seed=np.random.default_rng(1)).random(points).T
    return found
