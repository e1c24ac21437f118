"""Curves as data: arrays in SI with what they are, for pictures and tables alike."""

from __future__ import annotations

from dataclasses import dataclass

from circuitcheck.laws.smoothing import Array

CURVE, LOAD_LINE, STEPPED = "curve", "load line", "stepped"
"""What a curve is: of the part itself; of what it works against; a value held over time."""


class NoCurveError(Exception):
    """A curve that cannot be made; the message says why, and what can be asked."""


@dataclass(frozen=True)
class Axis:
    """What is on an axis: its name and quantity (`basics.quantities`)."""

    name: str
    quantity: str


@dataclass(frozen=True)
class Curve:
    """One line: ``x`` and ``y`` of shape (points,), SI; NaN where there is nothing.

    ``told``: whether a picture needs its name, or the points on it have it.
    """

    name: str
    x: Array
    y: Array
    kind: str = CURVE
    told: bool = True


@dataclass(frozen=True)
class Mark:
    """An operating point, named by its steps."""

    name: str
    x: float
    y: float


@dataclass(frozen=True)
class Level:
    """A setting or rating to be read on an axis ("x" or "y")."""

    name: str
    value: float
    axis: str = "x"


@dataclass(frozen=True)
class Chart:
    """Lines and points over two axes, with what a reader has to know in ``notes``."""

    title: str
    x: Axis
    y: Axis
    curves: tuple[Curve, ...]
    marks: tuple[Mark, ...] = ()
    levels: tuple[Level, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Field:
    """A value over two axes, ``values``, ``x`` and ``y`` of shape (rows, columns), SI."""

    title: str
    x_axis: Axis
    y_axis: Axis
    axis: Axis
    x: Array
    y: Array
    values: Array
    marks: tuple[Mark, ...] = ()
    notes: tuple[str, ...] = ()


def marks_together(marks: list[Mark], room: tuple[float, float]) -> tuple[Mark, ...]:
    """Put points that lie within ``room`` of each other, by axis, under one name."""
    found: list[Mark] = []
    for mark in marks:
        for i, other in enumerate(found):
            if abs(mark.x - other.x) <= room[0] and abs(mark.y - other.y) <= room[1]:
                found[i] = Mark(f"{other.name}, {mark.name}", other.x, other.y)
                break
        else:
            found.append(mark)
    return tuple(found)
