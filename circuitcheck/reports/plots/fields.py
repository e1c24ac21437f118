"""Draws a value over two axes as lines of equal value, on grey tones."""

from __future__ import annotations

import numpy as np
from matplotlib.colors import LinearSegmentedColormap
from matplotlib.figure import Figure

from circuitcheck.basics.quantities import System, number_in
from circuitcheck.reports.plots.placing import Name, put
from circuitcheck.reports.plots.style import canvas, footnote, label, numbers
from circuitcheck.studies.chart import Field

TONES = LinearSegmentedColormap.from_list("tones", ["#e8edf3", "#7ea3c4"])
"""From pale to middle blue: darker is higher, in greyscale too."""

LEVELS = (0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.75, 0.8, 0.82, 0.84, 0.86, 0.88, 0.9, 0.92, 0.94, 0.96)
"""Shares at which lines of equal efficiency are drawn; closer where machines work."""


def drawn(field: Field, units: System) -> Figure:
    """Draw a field with the axes in these units."""
    figure, axes = canvas(field.title)
    axes.set_xlabel(label(field.x_axis, units))
    axes.set_ylabel(label(field.y_axis, units))
    x = numbers(field.x, field.x_axis.quantity, units)
    y = numbers(field.y, field.y_axis.quantity, units)
    values = np.ma.masked_invalid(numbers(field.values, field.axis.quantity, units))
    scale = number_in(1.0, field.axis.quantity, units)
    levels = [scale * level for level in LEVELS]
    axes.grid(visible=False)
    bands = [0.0, *levels, scale]
    tones = [TONES(share) for share in np.linspace(0.0, 1.0, len(bands) - 1)]
    axes.contourf(x, y, values, levels=bands, colors=tones)
    lines = axes.contour(x, y, values, levels=levels, colors="#222222", linewidths=0.8)
    axes.clabel(lines, fmt="%g %%", fontsize=7.5)
    points = [
        np.array([[number_in(m.x, field.x_axis.quantity, units),
                   number_in(m.y, field.y_axis.quantity, units)]])
        for m in field.marks
    ]  # fmt: skip
    for row in points:
        axes.plot(*row[0], marker="o", color="#111111", markersize=5.5, zorder=7)
    footnote(figure, field.notes)
    names = [Name(m.name, row, "#111111", True)
             for m, row in zip(field.marks, points, strict=True)]  # fmt: skip
    put(axes, names, [], points)
    return figure
