"""Both sides of figures: each a little lower and higher than it is, and what follows it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuitcheck.basics.quantities import read_unit, to_si
from circuitcheck.circuit.varied import OIL_NAME, Varied
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.fitted import Key, with_figures
from circuitcheck.solver.system import Case

SHARE = 1e-5
"""Step of a difference as a share of the figure; with both sides taken, what bends leaves
1e-10 of the slope."""


def side_by_side(
    case: Case, figures: Sequence[Varied], values: Array, low: Array, high: Array
) -> dict[Key, Array]:
    """Give the changes of a case in which every figure has two variations of its own.

    In these it is ``low`` and ``high``, and what its part assumes from it follows; all others
    are as they are. One variation more, the last, leaves everything as it is.
    """
    count = 2 * len(figures) + 1
    changes: dict[Key, Array] = {}
    for figure, value in zip(figures, values, strict=True):
        changes[figure.key] = np.full(count, value)
    for i, figure in enumerate(figures):
        changes[figure.key][2 * i : 2 * i + 2] = low[i], high[i]
        for key, (now, *both) in _assumed(case, figure, float(low[i]), float(high[i])).items():
            changes.setdefault(key, np.full(count, now))[2 * i : 2 * i + 2] = both
    return changes


def _assumed(
    case: Case, figure: Varied, low: float, high: float
) -> dict[Key, tuple[float, float, float]]:
    """What a part assumes from a figure, where that moves it: as it is, and at both sides."""
    part = case.circuit.parts.get(figure.part)
    if part is None or part.kind.assumes is None or not figure.figure:
        return {}
    lower, higher = (with_figures(part, {figure.name: x}).figures for x in (low, high))
    return {
        (part.name, name): (row.value, lower[name].value, higher[name].value)
        for name, row in part.figures.items()
        if row.origin == "assumed" and name != figure.name
        if name in lower and name in higher and lower[name].value != higher[name].value
    }


def value_of(case: Case, figure: Varied) -> float:
    """The value of a figure in the only step of a case, SI."""
    step = case.steps[0]
    if figure.part == OIL_NAME and OIL_NAME not in case.circuit.parts:
        return case.circuit.oil_degC if step.oil_degC is None else step.oil_degC
    part = case.circuit.parts[figure.part]
    orders = step.orders.get(part.name)
    if figure.ordered and figure.name == "opening":
        return 1.0 if orders is None else orders.opening
    if figure.ordered and orders is not None and figure.name in orders.figures:
        return float(orders.figures[figure.name].value)
    value = case.value_of(part)(figure.name) if figure.figure else None
    if value is None:
        raise ValueError(f"'{figure.text}' has no value in step {step.name}")
    return float(np.asarray(value).ravel()[0])


def both_sides(figures: Sequence[Varied], values: Array) -> tuple[Array, Array]:
    """Give a lower and a higher value of each figure, within what it can be."""
    low, high = np.empty_like(values), np.empty_like(values)
    for i, (figure, value) in enumerate(zip(figures, values, strict=True)):
        own = figure.parameter
        unit = read_unit(own.unit) if own.unit else None
        size = abs(value) or (1.0 if unit is None else to_si(1.0, unit) - to_si(0.0, unit))
        least = -np.inf if own.least is None else own.least
        if figure.ordered and figure.name == "load" and value == 0.0:
            least = 0.0  # less than nothing drives the motion, in a direction not looked for
        most = np.inf if own.most is None else own.most
        low[i], high[i] = max(value - SHARE * size, least), min(value + SHARE * size, most)
    return low, high
