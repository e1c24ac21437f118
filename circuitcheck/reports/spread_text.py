"""A spread as text: bands of results, what carries them, what was taken to be off."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from circuitcheck.basics.quantities import System, figure_text, unit_label
from circuitcheck.reports.figures import bare
from circuitcheck.reports.tables import Column, Table, table
from circuitcheck.reports.terminal import Sheet
from circuitcheck.studies.bands import Band
from circuitcheck.studies.spread import Spread

TOP = 3
"""Doubts that are named for each result."""

LEAST_SHARE = 0.01
"""Share of a spread below which a doubt is not named."""

NARROW = 1e-3
"""Deviation as a share of the largest such result below which what carries it is not told."""

BENT = 0.9
"""Share of the variance that a straight fit must explain to be called straight."""


def write_spread(sheet: Sheet, found: Spread, units: System) -> None:
    """Write how far results spread and why."""
    sheet.heading("Spread of results")
    shape = "normal, the limit being two deviations" if found.bell else "even within the limits"
    sheet.paragraph(f"{found.runs} runs, Latin hypercube, seed {found.seed}; {shape}", "  ", "    ")
    if found.unsolved:
        sheet.paragraph(f"{found.unsolved} steps of runs were not solved, and are left out",
                        "  ", "    ")  # fmt: skip
    sheet.table(_bands(found, units))
    carried = list(_carried(found))
    if carried:
        sheet.table(_carriers(carried))
        sheet.paragraph(
            "share of the variance: 'runs' by a straight fit through all runs, 'slopes' by the "
            "slope of the solved point times what may be off", "  ", "  "
        )  # fmt: skip
        bent = [f"{b.name} in {b.step}" for b in carried if b.straight < BENT]
        if bent:
            sheet.paragraph(
                f"bent: {', '.join(bent)}; a straight fit leaves more than "
                f"{figure_text(100 * (1 - BENT))} % of the spread open (something begins to act "
                "within the limits, such as a relief valve)", "  ", "  "
            )  # fmt: skip
    sheet.table(_doubts(found, units))
    if found.left_out:
        told = ", ".join(found.left_out)
        sheet.paragraph(f"left out, they decide how a part is built: {told}", "  ", "  ")


def _bands(found: Spread, units: System) -> Table:
    columns = [Column("Result"), Column("In")]
    columns += [Column(h, "", True) for h in ("Text", "Mean", "Least", "5 %", "95 %", "Most")]
    columns.append(Column("Unit"))
    rows = [
        (
            band.name,
            band.step,
            *(
                bare(x, band.quantity, units)
                for x in (band.text, band.mean, band.least, band.low, band.high, band.most)
            ),
            unit_label(band.quantity, units),
        )
        for band in found.bands
    ]
    notes = ["90 of 100 machines that are sound lie between 5 % and 95 %."]
    return table("Bands", columns, rows, notes)


def _carried(found: Spread) -> Iterator[Band]:
    """Give the bands that are worth explaining."""
    most: dict[str, float] = {}
    for band in found.bands:
        size = max(abs(band.least), abs(band.most))
        if np.isfinite(size):
            most[band.name] = max(size, most.get(band.name, 0.0))
    for band in found.bands:
        if band.shares and band.deviation > NARROW * most.get(band.name, 0.0):
            yield band


def _carriers(bands: list[Band]) -> Table:
    columns = (Column("Result"), Column("In"), Column("Carried by"),
               Column("Runs", "", True), Column("Slopes", "", True))  # fmt: skip
    rows = []
    for band in bands:
        top = [share for share in band.shares[:TOP] if share.runs >= LEAST_SHARE]
        for i, share in enumerate(top):
            where = (band.name, band.step) if i == 0 else ("", "")
            rows.append((*where, share.name, _percent(share.runs), _percent(share.slopes)))
    return table("What carries the spread", columns, rows)


def _percent(share: float) -> str:
    return "?" if np.isnan(share) else f"{figure_text(100.0 * round(share, 3), 2)} %"


def _doubts(found: Spread, units: System) -> Table:
    rows: dict[tuple[str, str], list[str]] = {}
    for doubt in found.doubts:
        rows.setdefault((doubt.said(units), doubt.source), []).append(doubt.name)
    return table(
        "What may be off, to both sides",
        (Column("Figure"), Column("By"), Column("Source")),
        ((", ".join(names), by, source) for (by, source), names in rows.items()),
    )
