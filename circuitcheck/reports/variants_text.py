"""Variants side by side as text: results step by step, what was changed, findings."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.basics.quantities import System, unit_label
from circuitcheck.reports.comparison import findings_table
from circuitcheck.reports.figures import bare
from circuitcheck.reports.tables import Column, Table, table
from circuitcheck.reports.terminal import Sheet
from circuitcheck.review.comparison import CHANGED, Comparison
from circuitcheck.studies.side_by_side import Row, SideBySide

MANIFOLD = 1000.0
"""Difference in per cent from which the ratio is told instead."""

SAME = 0.0005
"""Share of a difference below which none is shown."""


def write_variants(
    sheet: Sheet,
    found: SideBySide,
    titles: Sequence[str],
    compared: Sequence[Comparison],
    units: System,
) -> None:
    """Write circuits side by side, each compared with the first."""
    sheet.heading("Side by side")
    for name, title in zip(found.names, titles, strict=True):
        sheet.paragraph(f"{name}: {title}" if title else name, "  ", "    ")
    for step, names in found.only_in.items():
        sheet.paragraph(f"step {step} is only in {', '.join(names)}", "  ", "    ")
    for step in dict.fromkeys(row.step for row in found.rows):
        rows = [row for row in found.rows if row.step == step]
        sheet.table(_results(found, step, rows, units))
    for name, one in zip(found.names[1:], compared, strict=True):
        _write_compared(sheet, name, found.names[0], one)


def _results(found: SideBySide, step: str, rows: Sequence[Row], units: System) -> Table:
    caption = "Whole cycle" if step == "cycle" else f"Step {step}"
    columns = [Column("Result"), Column("Unit")]
    columns += [Column(name, "", True) for name in found.names]
    return table(caption, columns, (tuple(_row(row, units)) for row in rows))


def _row(row: Row, units: System) -> Iterator[str]:
    yield row.name
    yield unit_label(row.quantity, units)
    first = row.values[0]
    for i, value in enumerate(row.values):
        if math.isnan(value):
            yield "-"
            continue
        figure = bare(value, row.quantity, units)
        yield (
            f"{figure} ({_difference(first, value)})" if i and _told(row, first, value) else figure
        )


def _told(row: Row, first: float, value: float) -> bool:
    """Whether a difference is worth telling: of degrees it has no meaning as a share."""
    if math.isnan(first) or not first or row.quantity == "temperature":
        return False
    return abs(value / first - 1.0) >= SAME


def _difference(first: float, value: float) -> str:
    share = 100.0 * (value - first) / abs(first)
    if share >= MANIFOLD:
        return f"x {value / first:.0f}"
    return f"{share:+.0f} %" if abs(share) >= 10.0 else f"{share:+.1f} %"


def _write_compared(sheet: Sheet, name: str, first: str, one: Comparison) -> None:
    sheet.section(f"{name} against {first}")
    for sort, names in _sorts(one).items():
        sheet.paragraph(f"{sort}: {', '.join(names)}", "  ", "    ")
    gained, lost = _weighty(one.gained), _weighty(one.lost)
    if gained:
        sheet.table(findings_table(f"Findings gained with {name}", gained))
    if lost:
        sheet.table(findings_table(f"Findings lost with {name}", lost))
    if not gained and not lost:
        sheet.paragraph("no finding gained or lost but advice", "  ", "  ")


def _sorts(one: Comparison) -> dict[str, list[str]]:
    """Give names by what became of them; what is only joined otherwise is told as that."""
    figures: dict[str, list[str]] = {}
    found: dict[str, list[str]] = {}
    for change in one.changes:
        if change.sort != CHANGED:
            found.setdefault(change.sort, []).append(change.name)
            continue
        figures.setdefault(change.name, [])
        if not change.what.startswith("port"):
            figures[change.name].append(change.what)
    for name, whats in figures.items():
        sort = CHANGED if whats else "joined otherwise"
        told = f"{name} ({', '.join(whats)})" if whats else name
        found.setdefault(sort, []).append(told)
    return found


def _weighty(findings: Sequence[Finding]) -> list[Finding]:
    """Leave out what speaks of claims, which the circuit as issued makes, and advice."""
    return [
        f for f in findings if f.severity is not Severity.ADVICE and not f.slug.startswith("claim")
    ]
