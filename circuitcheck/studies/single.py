"""One figure that is to meet targets: scanned over its range, then bracketed."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy.optimize import brentq, minimize_scalar

from circuitcheck.laws.smoothing import Array
from circuitcheck.studies.targets import CLOSE
from circuitcheck.studies.trials import Trials

POINTS = 121
"""Points of the first scan; own choice: neighbours are 2 to 4 % apart over two decades."""

FINE = 1e-7
"""Share to which a figure is found."""


def solve(
    trials: Trials, low: float, high: float, present: float
) -> tuple[Array, tuple[tuple[float, float], ...]]:
    """Give the best value, (1,), and the stretches of the range in which all targets are met.

    The best value meets the first target that names a figure exactly, where one does; else it
    is the end of a stretch that lies nearest to what the text has. Where nothing meets all
    targets it is what misses them least.
    """
    at = scan(low, high)
    results = trials.results(at[None, :])
    roots = _roots(trials, at, results)
    if len(roots):
        at = np.unique(np.concatenate([at, roots]))
        results = trials.results(at[None, :])
    missed = _missed(trials, results)
    within = tuple(_stretches(trials, at, missed))
    if not within:
        return np.array([_least(trials, at, results)]), ()
    inside = [x for x in roots if any(a * (1 - FINE) <= x <= b * (1 + FINE) for a, b in within)]
    if not inside and any(target.exact for target in trials.targets):
        off = np.where(missed <= CLOSE, _off(trials, results), np.inf)
        inside = [float(at[np.nanargmin(off)])]  # not met to the letter, but within tolerance
    ends = [x for stretch in within for x in stretch if not _at_end(x, low, high)]
    near = inside or ends or [x for stretch in within for x in stretch]
    home = float(at[len(at) // 2]) if np.isnan(present) else present
    return np.array([min(near, key=lambda x: _apart(x, home))]), within


def _apart(one: float, other: float) -> float:
    """Give how far two values are apart, in shares where both are above nothing."""
    if one > 0.0 and other > 0.0:
        return abs(float(np.log(one / other)))
    return abs(one - other)


def _at_end(x: float, low: float, high: float) -> bool:
    return abs(x - low) <= FINE * abs(low) or abs(x - high) <= FINE * abs(high)


def scan(low: float, high: float) -> Array:
    """Give points over a range: by equal shares where it spans more than its size."""
    if low > 0.0 and high > 2.0 * low:
        return np.geomspace(low, high, POINTS)
    return np.linspace(low, high, POINTS)


def _missed(trials: Trials, results: Array) -> Array:
    """Share by which the worst target is missed, NaN where it is not known."""
    rows = [t.missed(y) for t, y in zip(trials.targets, results, strict=True)]
    found: Array = np.max(rows, axis=0)
    return found


def _roots(trials: Trials, at: Array, results: Array) -> Array:
    """Give where a result passes through what a target names."""
    found: list[float] = []
    for row, target in enumerate(trials.targets):
        if target.exact:
            found += _zeros(_of_row(trials, row, target.aim), at, results[row] - target.aim)
    return np.array(found)


def _of_row(trials: Trials, row: int, aim: float) -> Callable[[float], float]:
    return lambda x: float(trials.results(np.array([[x]]))[row, 0]) - aim


def _zeros(function: Callable[[float], float], at: Array, values: Array) -> list[float]:
    found = []
    for i in range(len(at) - 1):
        a, b = values[i], values[i + 1]
        if a == 0.0:
            found.append(float(at[i]))
        elif a * b < 0.0:
            found.append(_between(function, float(at[i]), float(at[i + 1])))
    if len(at) and values[-1] == 0.0:
        found.append(float(at[-1]))
    return found


def _between(function: Callable[[float], float], low: float, high: float) -> float:
    """Give where a function passes through nothing between two ends of unlike sign.

    Between them it may jump, or not be known: then the last side that is known is halved on.
    """

    def known(x: float) -> float:
        value = function(x)
        if np.isnan(value):
            raise _Unknown
        return value

    try:
        return float(brentq(known, low, high, xtol=FINE * abs(high), rtol=FINE))
    except _Unknown:
        return low


class _Unknown(Exception):  # noqa: N818 - leaves the search
    """A trial between two solved ones that has no answer."""


def _stretches(trials: Trials, at: Array, missed: Array) -> list[tuple[float, float]]:
    """Give the stretches in which nothing is missed, their ends found by bracketing."""
    good = missed <= CLOSE

    def function(x: float) -> float:
        return float(_missed(trials, trials.results(np.array([[x]])))[0]) - CLOSE

    found = []
    i = 0
    while i < len(at):
        if not good[i]:
            i += 1
            continue
        j = i
        while j + 1 < len(at) and good[j + 1]:
            j += 1
        low, high = float(at[i]), float(at[j])
        if i > 0 and not np.isnan(missed[i - 1]):
            low = _edge(function, low, float(at[i - 1]))
        if j + 1 < len(at) and not np.isnan(missed[j + 1]):
            high = _edge(function, high, float(at[j + 1]))
        found.append((low, high))
        i = j + 1
    return found


def _edge(function: Callable[[float], float], good: float, bad: float) -> float:
    """Give the end of a stretch that lies between a good value and a bad one: it is good."""
    edge = _between(function, *sorted((good, bad)))
    for share in (0.0, 1e-6, 1e-5, 1e-4, 1e-3):  # the last step may have gone beyond it
        inside = edge + share * (good - edge)
        if function(inside) <= 0.0:
            return inside
    return good


def _off(trials: Trials, results: Array) -> Array:
    """Give the sum of the squares of what is missed."""
    rows = [t.off(y) for t, y in zip(trials.targets, results, strict=True)]
    total: Array = np.sum(np.square(rows), axis=0)
    return total


def _least(trials: Trials, at: Array, results: Array) -> float:
    """Give the value that misses the targets least, all together."""
    off = _off(trials, results)
    if np.isnan(off).all():
        return float(at[0])
    best = int(np.nanargmin(off))
    low, high = float(at[max(best - 1, 0)]), float(at[min(best + 1, len(at) - 1)])

    def function(x: float) -> float:
        value = float(_off(trials, trials.results(np.array([[x]])))[0])
        return 1e12 if np.isnan(value) else value

    refined = minimize_scalar(function, bounds=(low, high), method="bounded",
                              options={"xatol": 1e-4 * abs(high)})  # fmt: skip
    return float(refined.x) if refined.fun < off[best] * (1.0 - 1e-9) else float(at[best])
