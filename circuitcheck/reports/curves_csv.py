"""The figures of curves as CSV: a row for each point, in the units shown."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

import numpy as np

from circuitcheck.basics.cells import as_text
from circuitcheck.basics.quantities import System, number_in, unit_label
from circuitcheck.studies.chart import Axis, Chart, Field
from circuitcheck.studies.duty import Duty

DIGITS = 7
"""Significant figures: more than any curve is worth, enough to draw it again."""


def as_csv(drawn: Chart | Field | Duty, units: System) -> str:
    """Give a chart, a field, or the energy flows of a duty cycle as CSV text.

    Columns: the curve, what it is (curve, load line, point), and the two axes; of a field the
    axes and the value; of a duty cycle way, part, kind and mean power. Points that are not
    known are left out.
    """
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    if isinstance(drawn, Chart):
        writer.writerow(["curve", "kind", _head(drawn.x, units), _head(drawn.y, units)])
        writer.writerows(_chart(drawn, units))
    elif isinstance(drawn, Field):
        axes = (drawn.x_axis, drawn.y_axis, drawn.axis)
        writer.writerow([_head(axis, units) for axis in axes])
        rows = zip(drawn.x.ravel(), drawn.y.ravel(), drawn.values.ravel(), strict=True)
        for row in rows:
            if np.isfinite(row).all():
                pairs = zip(row, axes, strict=True)
                writer.writerow([_number(float(v), axis, units) for v, axis in pairs])
    else:
        power = Axis("mean power", "power")
        writer.writerow(["way", "part", "kind", _head(power, units)])
        for way, flows in (("in", drawn.flows.into), ("out", drawn.flows.out)):
            for flow in flows:
                row_of = [way, as_text(flow.part), flow.kind, _number(flow.power, power, units)]
                writer.writerow(row_of)
    return target.getvalue()


def _chart(chart: Chart, units: System) -> Iterator[list[str]]:
    for curve in chart.curves:
        for x, y in zip(curve.x, curve.y, strict=True):
            if np.isfinite(x) and np.isfinite(y):
                yield [as_text(curve.name), curve.kind, _number(float(x), chart.x, units),
                       _number(float(y), chart.y, units)]  # fmt: skip
    for mark in chart.marks:
        if np.isfinite(mark.y):
            yield [as_text(mark.name), "point", _number(mark.x, chart.x, units),
                   _number(mark.y, chart.y, units)]  # fmt: skip


def _head(axis: Axis, units: System) -> str:
    unit = unit_label(axis.quantity, units)
    return f"{axis.name} [{unit}]" if unit else axis.name


def _number(value: float, axis: Axis, units: System) -> str:
    return f"{number_in(value, axis.quantity, units):.{DIGITS}g}"
