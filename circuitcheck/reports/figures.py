"""Figures as tables print them: few digits, no unit, a mark where nothing is known."""

from __future__ import annotations

import math
from collections.abc import Iterable

from circuitcheck.basics.quantities import System, figure_text, number_in, unit_label
from circuitcheck.solver.operating import PartState

FINEST = 3
"""Decimals beyond which a column only holds noise: 1 W, 1 mL/min, 0.001 bar."""
UNKNOWN = "?"


def bare(value: float, quantity: str, units: System) -> str:
    """Give the figure alone, for a column whose head carries the unit."""
    if math.isnan(value):
        return UNKNOWN
    if math.isinf(value):
        return "none"
    return figure_text(round(number_in(value, quantity, units), FINEST))


def valued(state: PartState, name: str, units: System) -> str:
    """Give a named value of a part without unit; empty where the part has none."""
    if name not in state.values:
        return ""
    return bare(state.values[name], state.quantities[name], units)


def valued_with_unit(state: PartState, names: Iterable[str], units: System) -> str:
    """Give the first of several named values that the part has, with its unit."""
    for name in names:
        if name in state.values:
            quantity = state.quantities[name]
            label = unit_label(quantity, units)
            return f"{bare(state.values[name], quantity, units)} {label}".rstrip()
    return ""


def high_and_drop(state: PartState) -> tuple[float, float] | None:
    """Highest pressure at the ports of a part and its drop [Pa]; None with no known port.

    The drop is the one the part itself names (over its main passage), else the span of its
    ports.
    """
    known = [port.pressure for port in state.ports.values() if not math.isnan(port.pressure)]
    if not known:
        return None
    return max(known), abs(state.values.get("drop", max(known) - min(known)))


def percent(share: float) -> str:
    """Give a share as whole percent."""
    return UNKNOWN if math.isnan(share) else f"{figure_text(round(100 * share))} %"
