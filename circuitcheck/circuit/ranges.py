"""Values of a varied figure as people write them: ``50 to 300 bar, 100 points``."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Any

import numpy as np

from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import (
    Unit,
    expected,
    read_unit,
    suggest_unit,
    to_si,
    unit_advice,
)
from circuitcheck.basics.unit_table import QUANTITIES
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.figures import BARE, usual_units
from circuitcheck.circuit.varied import Varied, within_limits
from circuitcheck.laws.smoothing import Array

_AMOUNT = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)(?::1)?\s*(.*?)\s*")
_POINTS = re.compile(r"\s*(\d+)\s+points?\s*")
_STEPS = re.compile(r"(.*?)\s+in steps of\s+(.*)")
Ints = np.ndarray[Any, np.dtype[np.int64]]

FORM = (
    "write:  50 to 300 bar, 100 points   or   50 to 300 bar in steps of 10 bar   "
    "or   50, 80, 120 bar"
)
MOST_POINTS = 10**9


@dataclass(frozen=True)
class Axis:
    """Values of one figure, SI: ``values``, or evenly ``first`` to ``last`` in ``count`` points.

    A range without a count (``count`` 0) is there to draw from at random.
    """

    first: float
    last: float
    count: int
    values: tuple[float, ...] | None = None

    @property
    def low(self) -> float:
        return min(self.values or (self.first, self.last))

    @property
    def high(self) -> float:
        return max(self.values or (self.first, self.last))

    @classmethod
    def of(cls, values: Array) -> Axis:
        """Give the axis of an array of values."""
        flat = tuple(np.ravel(values).tolist())
        return cls(flat[0], flat[-1], len(flat), flat)

    @classmethod
    def stepped(cls, first: float, last: float, size: float) -> Axis:
        """Give the values from one end towards another, ``size`` apart."""
        count = math.floor(abs(last - first) / size * (1 + 1e-12) + 1e-9) + 1
        way = math.copysign(size, last - first)
        return cls.of(np.array([first + way * number for number in range(count)]))

    def at(self, index: Ints) -> Array:
        """Values by their numbers, from 0."""
        if self.values is not None:
            listed: Array = np.array(self.values)[index]
            return listed
        share = index / max(self.count - 1, 1)
        even: Array = self.first * (1.0 - share) + self.last * share
        return even

    def drawn(self, dice: Array) -> Array:
        """Values for numbers drawn evenly between 0 and 1."""
        if self.values is None:
            even: Array = self.first + (self.last - self.first) * dice
            return even
        return self.at(np.minimum((dice * self.count).astype(np.int64), self.count - 1))


def read_axis(desk: Desk, varied: Varied, text: str, place: Place) -> Axis | None:
    """Read values as written; None, with a finding, if they cannot be read."""
    axis = _read(desk, varied, text, place)
    if axis is None or not within_limits(desk, varied, axis.low, axis.high, place):
        return None
    return axis


def _read(desk: Desk, varied: Varied, text: str, place: Place) -> Axis | None:
    pieces = [piece.strip() for piece in text.split(",")]
    if " to " not in pieces[0]:
        return _list(desk, varied, pieces, place)
    stepped = _STEPS.fullmatch(pieces[0])
    low, _, high = (stepped[1] if stepped else pieces[0]).partition(" to ")
    ends = _amounts(desk, varied, [low, high], place)
    if ends is None:
        return None
    if stepped and len(pieces) == 1:
        return _in_steps(desk, varied, ends, stepped[2], place)
    if len(pieces) == 1:
        return Axis(ends[0], ends[1], 0)
    points = _POINTS.fullmatch(pieces[1])
    if points is None or len(pieces) > 2 or stepped:
        desk.error("vary-form", place, f"'{text}' is not a range", FORM)
        return None
    count = int(points[1])
    if not 1 <= count <= MOST_POINTS:
        desk.error("vary-form", place, "a range has from 1 point to a thousand million")
        return None
    return Axis(ends[0], ends[1], count)


def _list(desk: Desk, varied: Varied, pieces: list[str], place: Place) -> Axis | None:
    values = _amounts(desk, varied, pieces, place)
    return None if values is None else Axis.of(np.array(values))


def _in_steps(
    desk: Desk, varied: Varied, ends: list[float], step: str, place: Place
) -> Axis | None:
    found = _AMOUNT.fullmatch(step)
    unit = read_unit(found[2]) if found and found[2] else None
    size = float(found[1]) * (unit.factor if unit else 1.0) if found else 0.0
    wanted = (
        {varied.quantity, "temperature_difference"}
        if varied.quantity == "temperature"
        else {varied.quantity}
    )
    right = (
        unit is None if varied.quantity in BARE else unit is not None and unit.quantity in wanted
    )
    if not right or not size > 0.0 or (unit is not None and unit.canonical == "SUS"):
        desk.error("vary-form", place, f"'{step}' is not the size of a step", FORM)
        return None
    if abs(ends[1] - ends[0]) / size > MOST_POINTS:
        desk.error("vary-form", place, "a range has at most a thousand million points")
        return None
    return Axis.stepped(ends[0], ends[1], size)


def _amounts(desk: Desk, varied: Varied, texts: list[str], place: Place) -> list[float] | None:
    """SI values of figures; those without a unit take the unit of the last."""
    found = [_AMOUNT.fullmatch(text) for text in texts]
    values: list[float] = []
    last = found[-1]
    shared = last[2] if last else ""
    for text, match in zip(texts, found, strict=True):
        if match is None:
            desk.error("vary-form", place, f"'{text}' is not a figure of {varied.text}", FORM)
            return None
        value = _si(desk, varied, float(match[1]), match[2] or shared, place)
        if value is None:
            return None
        values.append(value)
    return values


def _si(desk: Desk, varied: Varied, number: float, said: str, place: Place) -> float | None:
    quantity, unit = varied.quantity, read_unit(said) if said else None
    if said and unit is None:
        near = unit_advice(said) or (
            f"did you mean '{suggest_unit(said)}'?" if suggest_unit(said) else ""
        )
        desk.error("unknown-unit", place, f"'{said}' is not a unit", near)
        return None
    if (quantity in BARE) != (unit is None):
        wants = f"is {QUANTITIES[quantity].words}, without a unit" if unit else "needs a unit"
        desk.error("unit-missing" if unit is None else "unit-not-wanted", place,
                   f"'{varied.text}' {wants}", f"it is {expected(quantity)}")  # fmt: skip
        return None
    value = number if unit is None else _in_unit(desk, varied, number, unit, place)
    if value is not None and not math.isfinite(value):
        desk.error("figure", place, f"{number} is too large a figure")
        return None
    return value


def _in_unit(desk: Desk, varied: Varied, number: float, unit: Unit, place: Place) -> float | None:
    if unit.quantity != varied.quantity:
        advice = unit_advice(unit.canonical, varied.quantity) or (
            f"it takes {usual_units(varied.quantity)}"
        )
        desk.error(
            "wrong-dimension", place, f"{varied.text} is not given in {unit.spelling}", advice
        )
        return None
    try:
        return to_si(number, unit)
    except ValueError as error:
        desk.error("figure", place, str(error))
        return None
