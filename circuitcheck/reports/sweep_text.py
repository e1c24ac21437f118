"""Variations as tables on the screen: a row each, as many as fit, and a summary."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from circuitcheck.basics.quantities import System, figure_text, number_in, show, unit_label
from circuitcheck.laws.smoothing import Array
from circuitcheck.reports.figures import UNKNOWN, bare
from circuitcheck.reports.tables import Column, Table, figures, table
from circuitcheck.reports.terminal import Sheet
from circuitcheck.solver.work import REMARKS
from circuitcheck.sweeps.gathered import Gathered

ROWS = 24
"""Rows of a table on the screen, unless asked otherwise; own choice."""


def write_sweep(
    sheet: Sheet, found: Gathered, units: System, title: str = "", rows: int = ROWS
) -> None:
    """Write what was varied, a table of each step, and the range of every result."""
    plan = found.work.plan
    sheet.heading(title or "Variations")
    for varied, axis in plan.axes:
        low, high = show(axis.low, varied.quantity, units), show(axis.high, varied.quantity, units)
        count = f" in {axis.count} values" if axis.count > 1 else ""
        told = low if axis.low == axis.high else f"{low} to {high}{count}"
        sheet.paragraph(f"{varied.text}: {told}", "  ", "    ")
    sheet.paragraph(f"{found.count} variations, {plan.form}", "  ", "    ")
    chosen = _chosen(found.count, rows)
    for i, step in enumerate(found.steps):
        sheet.table(_rows(found, i, step, chosen, units))
    if found.count > 1:
        sheet.table(_summary(found, units))
    for slug, where in found.remarks.items():
        if where.any():
            sheet.paragraph(f"{slug}: {REMARKS[slug]} ({int(where.sum())} rows)", "  ", "    ")


def _chosen(count: int, rows: int) -> list[int]:
    """Numbers of the variations shown, evenly spread where there are more than fit."""
    if count <= rows:
        return list(range(count))
    return sorted({round(float(x)) for x in np.linspace(0, count - 1, rows)})


def _rows(found: Gathered, i: int, step: str, chosen: list[int], units: System) -> Table:
    varied = found.work.varied
    columns = [Column("No.", "", True)]
    cells: list[list[str]] = [[str(n + 1) for n in chosen]]
    for one in varied:
        columns.append(figures(one.text, one.quantity, units))
        cells.append([_figure(found.values[one.key][n], one.quantity, units) for n in chosen])
    for name, subject in found.work.asked:
        columns.append(figures(name, subject.quantity, units))
        row = found.results[name][i]
        cells.append([bare(float(row[n]), subject.quantity, units) for n in chosen])
    columns.append(Column("Remarks"))
    cells.append([_said(found, i, n) for n in chosen])
    left = found.count - len(chosen)
    more = f"{left} variations between them are not shown; -o FILE.csv writes all"
    notes = [more] if left else []
    return table(f"Step {step}", columns, zip(*cells, strict=True), notes)


def _figure(value: float, quantity: str, units: System) -> str:
    """Give a varied figure with the digits that tell it from its neighbours."""
    return figure_text(number_in(float(value), quantity, units), 4)


def _said(found: Gathered, i: int, number: int) -> str:
    return ", ".join(slug for slug, where in found.remarks.items() if where[i, number])


def _summary(found: Gathered, units: System) -> Table:
    return table(
        "Least, mean and most",
        (
            Column("Result"),
            Column("In"),
            Column("Least", "", True),
            Column("No.", "", True),
            Column("Mean", "", True),
            Column("Most", "", True),
            Column("No.", "", True),
            Column("Unit"),
        ),
        _extremes(found, units),
    )


def _extremes(found: Gathered, units: System) -> Iterator[tuple[str, ...]]:
    for name, subject in found.work.asked:
        for step, row in zip(found.steps, found.results[name], strict=True):
            label = unit_label(subject.quantity, units)
            if np.isnan(row).all():
                yield name, step, UNKNOWN, "", UNKNOWN, UNKNOWN, "", label
                continue
            least, most = int(np.nanargmin(row)), int(np.nanargmax(row))
            low, mean, high = (
                bare(float(x), subject.quantity, units)
                for x in (row[least], _mean(row), row[most])
            )  # fmt: skip
            yield name, step, low, str(least + 1), mean, high, str(most + 1), label


def _mean(row: Array) -> float:
    return float(np.nanmean(row))
