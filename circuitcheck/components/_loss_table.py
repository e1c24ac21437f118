"""Reads the measured losses of a pump or motor: a table over pressure, speed and stroke."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise, product

import numpy as np

from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.smoothing import Array

COLUMNS = ("pressure_bar", "speed_rpm", "stroke", "slip_L_per_min", "lost_torque_Nm")

AXES = COLUMNS[:3]

UNITS = ("bar", "rpm", "")
"""Unit of each axis in messages."""

MOST_POINTS = 10_000
"""Points of a table, at most; own choice."""

_NUMBER = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?")

Point = tuple[float, float, float]


@dataclass(frozen=True)
class LossTable:
    """A complete grid: axes in the units of `COLUMNS`, ``slip`` and ``torque`` over them in SI."""

    axes: tuple[Array, Array, Array]
    slip: Array
    torque: Array

    def coefficients(self) -> dict[str, Array]:
        """Give what `laws.measured.Measured` takes, the axis for the variants last.

        Under the first pressure slip falls in proportion to nothing, lost torque is held.
        """
        pressures, speeds, strokes = self.axes
        slip, torque = self.slip, self.torque
        if pressures[0] > 0.0:
            pressures = np.concatenate([[0.0], pressures])
            slip = np.concatenate([np.zeros_like(slip[:1]), slip])
            torque = np.concatenate([torque[:1], torque])
        found = {
            "pressures": pressures * BAR,
            "speeds": speeds * math.pi / 30.0,
            "strokes": strokes,
            "slip": slip,
            "torque_lost": torque,
        }
        return {name: array[..., None] for name, array in found.items()}


@dataclass
class TableError(Exception):
    """A table that cannot be taken: the line, what is wrong there, what to do."""

    line: int
    message: str
    remedy: str = ""


@lru_cache(maxsize=32)
def read_table(text: str) -> LossTable:
    """Read a table; lines that begin with # are comments.

    Raises
    ------
    TableError
        If the header is another one, a figure is none or cannot be, or the grid is not
        complete, ascending and without doubles.
    """
    lines = [
        (number, [cell.strip().strip('"') for cell in line.split(",")])
        for number, line in enumerate(text.split("\n"), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    header = ",".join(COLUMNS)
    if not lines or tuple(lines[0][1]) != COLUMNS:
        number = lines[0][0] if lines else 1
        raise TableError(number, "the header is not that of a loss table", f"write:  {header}")
    rows: dict[Point, tuple[int, float, float]] = {}
    if len(lines) - 1 > MOST_POINTS:
        raise TableError(lines[MOST_POINTS + 1][0], f"there are more than {MOST_POINTS} points")
    for number, cells in lines[1:]:
        point, slip, torque = _row(number, cells)
        if point in rows:
            twice = f"the point {_shown(point)} stands in line {rows[point][0]} already"
            raise TableError(number, twice, "take one of the two away")
        rows[point] = (number, slip, torque)
    if not rows:
        raise TableError(lines[0][0], "there is no point under the header")
    axes = tuple(_axis(rows, axis) for axis in range(3))
    return _grid(axes, rows)


def _row(number: int, cells: list[str]) -> tuple[Point, float, float]:
    if len(cells) != len(COLUMNS):
        raise TableError(number, f"{len(cells)} figures stand here, not {len(COLUMNS)}")
    values = [_figure(number, *pair) for pair in zip(COLUMNS, cells, strict=True)]
    pressure, speed, stroke, slip, torque = values
    if pressure == 0.0 and slip > 0.0:
        raise TableError(
            number,
            "there is no slip without pressure",
            "slip counts from the displacement: set it so that slip is 0 at 0 bar",
        )
    return (pressure, speed, stroke), slip * L_MIN, torque


def _figure(number: int, name: str, cell: str) -> float:
    if not _NUMBER.fullmatch(cell) or not math.isfinite(float(cell)):
        raise TableError(number, f"{name}: '{cell[:40]}' is not a number")
    value = float(cell)
    if value < 0.0:
        raise TableError(number, f"{name} is less than 0")
    if name == "stroke" and value > 1.0:
        raise TableError(number, "stroke is more than 1", "full stroke is 1, half stroke 0.5")
    return value


def _axis(rows: dict[Point, tuple[int, float, float]], axis: int) -> list[float]:
    """Give the figures of an axis; they ascend in the order in which they come up."""
    first: dict[float, int] = {}
    for point, (number, _, _) in rows.items():
        first.setdefault(point[axis], number)
    for (before, _), (value, number) in pairwise(first.items()):
        if value < before:
            message = f"{AXES[axis]} falls from {before:g} to {value:g}"
            raise TableError(number, message, "pressures, speeds and strokes ascend")
    return list(first)


def _grid(axes: tuple[list[float], ...], rows: dict[Point, tuple[int, float, float]]) -> LossTable:
    pressures, speeds, strokes = axes
    last = next(iter(rows.values()))[0]
    for point in product(pressures, speeds, strokes):
        if point not in rows:
            message = f"behind this line the point {_shown(point)} is missing"
            remedy = "every pressure stands with every speed and every stroke"
            raise TableError(last, message, remedy)
        last = rows[point][0]
    if pressures[-1] == 0.0:
        raise TableError(last, "there is no pressure above 0 bar")
    shape = (len(pressures), len(speeds), len(strokes))
    measured = [rows[point][1:] for point in product(pressures, speeds, strokes)]
    slip, torque = np.array(measured).T
    arrays = (np.array(pressures), np.array(speeds), np.array(strokes))
    return LossTable(arrays, slip.reshape(shape), torque.reshape(shape))


def _shown(point: Point) -> str:
    pressure, speed, stroke = point
    return f"{pressure:g} bar, {speed:g} rpm, stroke {stroke:g}"
