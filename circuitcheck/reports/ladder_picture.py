"""The pressure ladder as a picture: a scale, and a column for each sort of rung."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from circuitcheck.basics.quantities import System, number_in, show, unit_label
from circuitcheck.basics.shapes import Line, Text
from circuitcheck.reports.ladder import names
from circuitcheck.review.ladder import RATING, SETTING, WORKING, Rung
from circuitcheck.schematic import Group, Painted, to_svg

WIDTH, HEIGHT, TOP, LEFT, ROW = 76.0, 96.0, 9.0, 8.0, 2.1
"""Size of the picture, where its scale stands, height of a label [M]; own choice."""
COLUMNS = {WORKING: 10.4, SETTING: 33.6, RATING: 55.2}
COLOURS = {WORKING: "#1f5fa8", SETTING: "#00695c", RATING: "#6d4c41"}
BAD, BLACK = "#c62828", "#000000"
LONGEST = 32

Anchor = Literal["start", "middle", "end"]


def ladder_picture(rungs: list[Rung], title: str, units: System) -> str:
    """Draw the ladder as SVG; rungs that stand wrong are red and bear a mark."""
    columns = {sort: [rung for rung in rungs if rung.sort == sort] for sort in COLUMNS}
    longest = max((len(column) for column in columns.values()), default=1)
    bottom = max(HEIGHT, TOP + 6.0 + longest * ROW) - 4.0
    most = max((rung.pressure for rung in rungs), default=0.0) or 1e5
    shapes = [*_scale(most, bottom, units)]
    for sort, x in COLUMNS.items():
        shapes.append(_text(sort, x + 3.2, TOP - 2.4, 1.5, COLOURS[sort]))
        shapes += _column(columns[sort], x, most, bottom, units)
    whole = f"Pressure ladder: {title}" if title else "Pressure ladder"
    shapes.append(_text(whole, 2.4, 2.8, 1.8, BLACK))
    told = "Working pressures, settings and ratings of a circuit, low to high."
    return to_svg([Group("ladder", tuple(shapes))], (0.0, 0.0, WIDTH, bottom + 4.0), whole, told)


def _scale(most: float, bottom: float, units: System) -> Iterator[Painted]:
    top = number_in(most, "pressure", units)
    yield _line(LEFT, TOP, LEFT, bottom, BLACK, 0.16)
    for mark in _marks(top):
        y = bottom - (bottom - TOP) * mark / top
        yield _line(LEFT - 0.8, y, LEFT, y, BLACK, 0.12)
        yield _text(f"{mark:g}", LEFT - 1.2, y, 1.2, BLACK, "end")
    yield _text(unit_label("pressure", units), LEFT - 1.2, TOP - 1.6, 1.3, BLACK, "end")


def _column(
    rungs: list[Rung], x: float, most: float, bottom: float, units: System
) -> Iterator[Painted]:
    heights = [bottom - (bottom - TOP) * max(rung.pressure, 0.0) / most for rung in rungs]
    for rung, y, label in zip(rungs, heights, _spread(heights, bottom), strict=True):
        ink = BAD if rung.wrong else COLOURS[rung.sort]
        yield _line(x - 1.6, y, x + 1.2, y, ink, 0.36)
        yield _line(x + 1.2, y, x + 2.8, label, ink, 0.08)
        step = f", {rung.step}" if rung.step else ""
        what = "" if rung.what in ("highest", "set", "rated") else f" {rung.what}"
        shown = f"{show(rung.pressure, 'pressure', units)}  {names(rung, 2)}{what}{step}"
        yield _text(_short(f"{'! ' if rung.wrong else ''}{shown}"), x + 3.2, label, 1.16, ink)


def _text(words: str, x: float, y: float, size: float, ink: str, at: Anchor = "start") -> Painted:
    return Painted(Text((x, y), words, size, at), ink)


def _line(x0: float, y0: float, x1: float, y1: float, ink: str, width: float) -> Painted:
    return Painted(Line(((x0, y0), (x1, y1))), ink, width)


def _short(words: str) -> str:
    return words if len(words) <= LONGEST else f"{words[: LONGEST - 3]}..."


def _marks(most: float) -> list[float]:
    """Give round figures of a scale up to ``most``, ten at most."""
    power: float = 10.0 ** len(str(int(most / 8)))
    step = next(s for s in (power / 10, power / 5, power / 2, power) if most / s <= 10)
    return [step * i for i in range(int(most / step) + 1)]


def _spread(wanted: list[float], bottom: float) -> list[float]:
    """Move labels apart that would lie on one another; ``wanted`` falls from low to high."""
    placed: list[float] = []
    limit = bottom + 0.4
    for height in wanted:
        placed.append(min(height, limit))
        limit = placed[-1] - ROW
    limit = TOP
    for i in range(len(placed) - 1, -1, -1):  # what was pushed out at the top comes back down
        placed[i] = max(placed[i], limit)
        limit = placed[i] + ROW
    return placed
