"""Draws a chart: lines with their names, operating points, settings."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from circuitcheck.basics.quantities import System, number_in, show, unit_for
from circuitcheck.laws.smoothing import Array
from circuitcheck.reports.plots.placing import Name, put
from circuitcheck.reports.plots.style import DASHES, INKS, QUIET, canvas, footnote, label, numbers
from circuitcheck.studies.chart import LOAD_LINE, STEPPED, Chart, Curve, Mark

MARKS = ("o", "s", "^", "D", "v", "P")


def drawn(chart: Chart, units: System) -> Figure:
    """Draw a chart with the axes in these units."""
    units = _clock(chart, units)
    figure, axes = canvas(chart.title)
    axes.set_xlabel(label(chart.x, units))
    axes.set_ylabel(label(chart.y, units))
    lines = [_line(curve, chart, units) for curve in chart.curves]
    names: list[Name] = []
    number = 0
    for i, (curve, line) in enumerate(zip(chart.curves, lines, strict=True)):
        if curve.kind == LOAD_LINE:
            axes.plot(line[:, 0], line[:, 1], color=QUIET, linewidth=1.0, linestyle=(0, (4, 2)))
            continue
        ink, dash = INKS[number % len(INKS)], DASHES[number % len(DASHES)]
        step = "steps-post" if curve.kind == STEPPED else "default"
        axes.plot(line[:, 0], line[:, 1], color=ink, linestyle=dash, drawstyle=step)
        if curve.told:
            names.append(Name(curve.name, _places(line, curve.kind), ink, True, i))
        number += 1
    _limits(axes, lines, from_zero=chart.x.quantity != "temperature")
    timed = all(not np.isfinite(mark.y) for mark in chart.marks)
    points = [] if timed else [m for m in chart.marks if np.isfinite(m.y)]
    if timed:
        _spans(axes, chart, units)
    shown = [_point(mark, chart, units) for mark in points]
    for i, row in enumerate(shown):
        axes.plot(*row[0], marker=MARKS[i % len(MARKS)], color="#111111", markersize=5.5,
                  linestyle="none", zorder=7)  # fmt: skip
    told = zip(points, shown, strict=True)
    names = [Name(mark.name, row, "#111111") for mark, row in told if mark.name] + names
    levels = _levels(axes, chart, units)
    drawn_lines = [
        _stepped(line) if curve.kind == STEPPED else line
        for curve, line in zip(chart.curves, lines, strict=True)
    ]
    footnote(figure, chart.notes)
    put(axes, [*names, *levels], drawn_lines, shown)
    return figure


def _clock(chart: Chart, units: System) -> System:
    """Units with the time in minutes or hours where it is long."""
    if chart.x.quantity != "time":
        return units
    longest = max(float(np.nanmax(curve.x)) for curve in chart.curves)
    unit = "s" if longest < 600.0 else "min" if longest < 7200.0 else "h"
    known = {
        quantity: unit_for(quantity, units) for quantity in (chart.x.quantity, chart.y.quantity)
    }
    spelled = {quantity: found.canonical for quantity, found in known.items() if found}
    return spelled | {"time": unit}


def _line(curve: Curve, chart: Chart, units: System) -> Array:
    x = numbers(curve.x, chart.x.quantity, units)
    y = numbers(curve.y, chart.y.quantity, units)
    return np.stack([x, y], axis=1)


def _point(mark: Mark, chart: Chart, units: System) -> Array:
    x = number_in(mark.x, chart.x.quantity, units)
    return np.array([[x, number_in(mark.y, chart.y.quantity, units)]])


def _places(line: Array, kind: str) -> Array:
    """Middles of the values that a stepped line holds; other lines are named anywhere."""
    if kind != STEPPED:
        return np.zeros((0, 2))
    return np.stack([0.5 * (line[:-1, 0] + line[1:, 0]), line[:-1, 1]], axis=1)


def _stepped(line: Array) -> Array:
    """The corners of a line that holds its values."""
    x, y = np.repeat(line[:, 0], 2)[1:], np.repeat(line[:, 1], 2)[:-1]
    return np.stack([x, y], axis=1)


def _limits(axes: Axes, lines: list[Array], from_zero: bool) -> None:
    """Frame what is known, with a little room above; axes begin at zero where that is near."""
    known = np.concatenate([line[np.isfinite(line).all(axis=1)] for line in lines])
    if not len(known):
        return
    (left, low), (right, high) = known.min(axis=0), known.max(axis=0)
    if from_zero and 0.0 <= left < 0.3 * right:
        left = 0.0
    if -0.1 * high < low < 0.3 * high:
        low = 0.0
    axes.set_xlim(left, right + 0.02 * (right - left))
    span = (high - low) or abs(high) or 1.0
    axes.set_ylim(low - (0.0 if low == 0.0 else 0.06 * span), high + 0.1 * span)


def _levels(axes: Axes, chart: Chart, units: System) -> list[Name]:
    """Draw settings as thin dotted lines, where they are within the picture."""
    names = []
    (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
    for level in chart.levels:
        axis = chart.x if level.axis == "x" else chart.y
        at = number_in(level.value, axis.quantity, units)
        words = f"{level.name} {show(level.value, axis.quantity, units)}"
        if level.axis == "x" and left < at < right:
            axes.axvline(at, color=QUIET, linewidth=1.0, linestyle=":")
            column = np.linspace(low, high, 12)[1:-1]
            names.append(Name(words, np.stack([np.full(10, at), column], axis=1), "#555555"))
        elif level.axis == "y" and low < at < high:
            axes.axhline(at, color=QUIET, linewidth=1.0, linestyle=":")
            row = np.linspace(left, right, 22)[1:-1]
            names.append(Name(words, np.stack([row, np.full(20, at)], axis=1), "#555555"))
    return names


def _spans(axes: Axes, chart: Chart, units: System) -> None:
    """Name stretches of the axis by the marks at their beginnings: the steps of a cycle."""
    if not chart.marks:
        return
    left, right = axes.get_xlim()
    begins = [number_in(mark.x, chart.x.quantity, units) for mark in chart.marks]
    axes.set_xlim(left, right)
    low, high = axes.get_ylim()
    axes.set_ylim(low, high + 0.14 * (high - low))
    top = axes.get_ylim()[1]
    last = max(float(np.nanmax(c.x)) for c in chart.curves)
    ends = [*begins[1:], number_in(last, chart.x.quantity, units)]
    row = -np.inf
    for begin, end, mark in zip(begins, ends, chart.marks, strict=True):
        axes.axvline(begin, color="#bbbbbb", linewidth=0.7, zorder=0)
        narrow = (end - begin) < 0.016 * len(mark.name) * (right - left)
        if narrow and begin - row < 0.022 * (right - left):
            continue
        axes.text(
            0.5 * (begin + end) if not narrow else begin + 0.004 * (right - left), top, mark.name,
            fontsize=7.5, color="#444444", va="top", ha="left" if narrow else "center",
            rotation=90 if narrow else 0,
        )  # fmt: skip
        row = begin
