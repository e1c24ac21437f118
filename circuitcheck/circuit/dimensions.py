"""Dimensions of figures, for sums in brackets.

A turn is kept as a dimension of its own, so that displacement times speed of rotation is
a flow and pressure times displacement a torque, without a factor to be remembered.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from circuitcheck.basics.unit_table import QUANTITIES

Exponents = tuple[int, int, int, int, int]
"""Powers of metre, kilogram, second, kelvin, turn."""

TURN = 2.0 * math.pi

_BY_QUANTITY: dict[str, tuple[Exponents, float]] = {
    "pressure": ((-1, 1, -2, 0, 0), 1.0),
    "flow": ((3, 0, -1, 0, 0), 1.0),
    "displacement": ((3, 0, 0, 0, -1), 1.0),
    "volume": ((3, 0, 0, 0, 0), 1.0),
    "length": ((1, 0, 0, 0, 0), 1.0),
    "area": ((2, 0, 0, 0, 0), 1.0),
    "force": ((1, 1, -2, 0, 0), 1.0),
    "mass": ((0, 1, 0, 0, 0), 1.0),
    "torque": ((2, 1, -2, 0, -1), TURN),
    "power": ((2, 1, -3, 0, 0), 1.0),
    "speed": ((1, 0, -1, 0, 0), 1.0),
    "rotation": ((0, 0, -1, 0, 1), 1.0 / TURN),
    "time": ((0, 0, 1, 0, 0), 1.0),
    "temperature_difference": ((0, 0, 0, 1, 0), 1.0),
    "viscosity": ((2, 0, -1, 0, 0), 1.0),
    "dynamic_viscosity": ((-1, 1, -1, 0, 0), 1.0),
    "density": ((-3, 1, 0, 0, 0), 1.0),
    "ratio": ((0, 0, 0, 0, 0), 1.0),
    "share": ((0, 0, 0, 0, 0), 1.0),
    "count": ((0, 0, 0, 0, 0), 1.0),
    "angle": ((0, 0, 0, 0, 1), 1.0 / TURN),
    "stiffness": ((0, 1, -2, 0, 0), 1.0),
    "energy": ((2, 1, -2, 0, 0), 1.0),
    "heat_conductance": ((2, 1, -3, -1, 0), 1.0),
    "specific_heat": ((2, 0, -2, -1, 0), 1.0),
    "heat_transfer": ((0, 1, -3, -1, 0), 1.0),
    "frequency": ((0, 0, -1, 0, 0), 1.0),
}
"""Dimension of a quantity, and what its SI value is multiplied by to count in turns."""

PLAIN: Exponents = (0, 0, 0, 0, 0)


class Dimensioned(NamedTuple):
    """A value with its dimension; angles in turns."""

    value: float
    exponents: Exponents


def dimensioned(value_si: float, quantity: str) -> Dimensioned | None:
    """Give a figure for arithmetic; None for temperatures, which are points of a scale."""
    if quantity not in _BY_QUANTITY:
        return None
    exponents, factor = _BY_QUANTITY[quantity]
    return Dimensioned(value_si * factor, exponents)


def as_quantity(found: Dimensioned, quantity: str) -> float | None:
    """Give the SI value of a result as the quantity wanted, None if it is another one.

    A force times an arm counts as a torque as well as an energy.
    """
    if quantity not in _BY_QUANTITY:
        return None
    exponents, factor = _BY_QUANTITY[quantity]
    if found.exponents == exponents:
        return found.value / factor
    if quantity == "torque" and found.exponents == _BY_QUANTITY["energy"][0]:
        return found.value
    return None


def name_of(exponents: Exponents) -> str:
    """Give the dimension in words: a pressure; "neither pressure, flow ..." if it has no name."""
    if exponents == PLAIN:
        return "a bare figure"
    for quantity, (known, _) in _BY_QUANTITY.items():
        if known == exponents:
            return QUANTITIES[quantity].words
    return "something that has no name"


def multiplied(a: Dimensioned, b: Dimensioned) -> Dimensioned:
    """Give the product of two figures."""
    return Dimensioned(a.value * b.value, _combined(a.exponents, b.exponents, 1))


def divided(a: Dimensioned, b: Dimensioned) -> Dimensioned:
    """Give the quotient of two figures; ``b`` is not 0."""
    return Dimensioned(a.value / b.value, _combined(a.exponents, b.exponents, -1))


def _combined(a: Exponents, b: Exponents, sign: int) -> Exponents:
    m, kg, s, K, turn = (x + sign * y for x, y in zip(a, b, strict=True))
    return m, kg, s, K, turn
