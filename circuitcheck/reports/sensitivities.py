"""How a result changes with figures, for people and for programs."""

from __future__ import annotations

import json
import math
from typing import Any

from circuitcheck.basics.quantities import (
    SI_NAME,
    System,
    figure_text,
    number_in,
    show,
    unit_label,
)
from circuitcheck.basics.unit_table import QUANTITIES
from circuitcheck.reports.tables import Column, table
from circuitcheck.reports.terminal import Sheet
from circuitcheck.solver.sensitivity import Sensitivity

MOST_ROWS = 15
"""Figures that are listed in a step, if not all are asked for."""

LEAST = 1e-4
"""Change of the result with one per cent of a figure, in per cent, under which the figure is
said not to move it; own choice."""

NOTE = (
    "By the slope where the circuit stands: a valve that would open or a stop that would be "
    "reached on the way is not seen. Places, latches and stored oil of earlier steps are held."
)


def write_sensitivities(
    sheet: Sheet,
    result: str,
    found: dict[str, list[Sensitivity]],
    units: System,
    whole: bool = False,
) -> None:
    """Write a table for each step, the figure that counts most first.

    Unless the ``whole`` is asked for, figures that do not move the result are only counted.
    """
    for step, rows in found.items():
        value = show(rows[0].result, rows[0].subject.quantity, units)
        caption = f"{result} is {value} in {step}"
        ordered = sorted(rows, key=_weight, reverse=True)
        moving = [row for row in ordered if _moves(row)]
        shown = ordered if whole else moving[:MOST_ROWS]
        if not shown:
            sheet.section(f"{caption}; no figure moves it")
            continue
        less, none = len(moving) - len(shown), len(rows) - len(moving)
        notes = [f"{less} that count less are left out."] if less > 0 else []
        notes += [f"{none} others do not move it."] if none and not whole else []
        heads = (
            Column("Figure"),
            Column("Stands at", "", True),
            Column("Change", "", True),
            Column("Per"),
            Column("Per 1 %", "", True),
        )
        sheet.table(table(caption, heads, [_row(row, units) for row in shown], notes))
    sheet.line()
    sheet.paragraph(NOTE)


def _row(row: Sensitivity, units: System) -> tuple[str, ...]:
    quantity = row.figure.quantity
    change, per = round_change(row, units)
    apart = number_in(row.slope * change, row.subject.quantity, units) - number_in(
        0.0, row.subject.quantity, units
    )
    label = unit_label(row.subject.quantity, units)
    sign = "+" if apart > 0.0 else ""
    relative = math.isfinite(row.share) and row.at and quantity != "temperature"
    return (
        row.figure.text,
        show(row.at, quantity, units),
        f"{sign}{figure_text(apart)} {label}".rstrip(),
        per,
        f"{row.share:+.3f} %" if relative else "",
    )


def round_change(row: Sensitivity, units: System) -> tuple[float, str]:
    """Give a round change of a figure [SI], at most a tenth of it, and how it is written."""
    quantity = row.figure.quantity
    nothing = number_in(0.0, quantity, units)
    number = abs(number_in(row.at, quantity, units))
    digit = 10.0 ** math.floor(math.log10(number / 10.0) + 1e-9) if number > 1e-12 else 1.0
    one = 1.0 / (number_in(1.0, quantity, units) - nothing)  # SI value of one such unit
    label = unit_label(quantity, units)
    if quantity == "temperature":
        label = label.replace("°C", "K")
    return digit * one, f"{figure_text(digit)} {label}".rstrip()


def _weight(row: Sensitivity) -> float:
    """What a figure does by all of itself, one that stands at nothing by ten round changes."""
    change, _ = round_change(row, "metric")
    return abs(row.slope) * max(abs(row.at), 10.0 * change)


def _moves(row: Sensitivity) -> bool:
    """Whether a figure counts: by its share where there is one, and always beyond noise."""
    change, _ = round_change(row, "metric")
    if abs(row.slope * change) <= QUANTITIES[row.subject.quantity].noise:
        return False
    return not (math.isfinite(row.share) and row.at) or abs(row.share) >= LEAST


def sensitivity_json(file: str, result: str, found: dict[str, list[Sensitivity]]) -> str:
    """Give the same in SI as JSON, by step; ``share`` is null where the result is nothing."""
    steps = [
        {
            "step": step,
            "quantity": rows[0].subject.quantity,
            "unit": SI_NAME[rows[0].subject.quantity],
            "value": rows[0].result,
            "figures": [_data(row) for row in sorted(rows, key=_weight, reverse=True)],
        }
        for step, rows in found.items()
        if rows
    ]
    data = {"file": file, "result": result, "steps": steps}
    return json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _data(row: Sensitivity) -> dict[str, Any]:
    return {
        "figure": row.figure.text,
        "quantity": row.figure.quantity,
        "unit": SI_NAME[row.figure.quantity],
        "value": row.at,
        "slope": row.slope,
        "share": row.share if math.isfinite(row.share) else None,
    }
