"""A chunk of a sweep as rows of a table: one for each variation and step."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from circuitcheck.basics.quantities import SI_NAME, System, from_si, unit_for, unit_label
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.work import REMARKS, Chunk, Work

Column = list[str] | np.ndarray[Any, Any]
"""Words, or numbers (NaN where there is none)."""

_UNITS_SI = "SI"


@dataclass
class Table:
    """Columns by their heads, all of one length, and how many rows have which remark."""

    columns: dict[str, Column]
    tally: dict[str, int]

    @property
    def rows(self) -> int:
        return len(next(iter(self.columns.values())))


def table_of(work: Work, chunk: Chunk, units: System) -> Table:
    """Give the rows of a chunk, figures in ``units`` ("SI" for SI), units in the heads."""
    count, steps = chunk.solved.shape[1], len(chunk.steps)
    columns: dict[str, Column] = {
        "variation": np.repeat(np.arange(chunk.start + 1, chunk.start + count + 1), steps),
        "step": chunk.steps * count,
    }
    for varied in work.varied:
        row = np.repeat(chunk.values[varied.key], steps)
        _put(columns, varied.text, row, varied.quantity, units)
    for text, subject in work.asked:
        _put(columns, text, chunk.columns[text].T.ravel(), subject.quantity, units)
    columns["solved"] = chunk.solved.T.ravel()
    columns["method"] = [word for words in zip(*chunk.method, strict=True) for word in words]
    columns["iterations"] = chunk.iterations.T.ravel()
    columns["step norm [bar]"] = chunk.step_norm.T.ravel()
    _put(columns, "imbalance", chunk.imbalance.T.ravel(), "flow", units)
    columns["remarks"] = _remarks(chunk)
    tally = {slug: int(np.count_nonzero(chunk.remarks[slug])) for slug in REMARKS}
    return Table(columns, tally)


def _put(
    columns: dict[str, Column], name: str, values: Array, quantity: str, units: System
) -> None:
    """Add a column of figures; one that is there already, varied and asked for, is left."""
    if units == _UNITS_SI:
        label, numbers = _si_label(quantity), values
    else:
        unit, label = unit_for(quantity, units), unit_label(quantity, units)
        numbers = values if unit is None else _in_unit(values, unit)
    columns.setdefault(f"{name} [{label}]" if label else name, numbers)


def _si_label(quantity: str) -> str:
    name = SI_NAME[quantity]
    return "" if name == "1" else name


def _in_unit(values: Array, unit: Any) -> Array:
    if unit.canonical == "SUS":  # a curve, number by number
        return np.array([from_si(float(value), unit) for value in values])
    linear: Any = from_si(values, unit)  # type: ignore[arg-type]
    return np.asarray(linear)


def _remarks(chunk: Chunk) -> list[str]:
    """Slugs of what is to be said against each row, parted by blanks; a row without a steady
    point names the parts to look at: ``no-steady-point:P1,P2``."""
    flat = {slug: where.T.ravel() for slug, where in chunk.remarks.items()}
    words = [""] * chunk.solved.size
    for slug, where in flat.items():
        for i in np.flatnonzero(where):
            variation, step = divmod(int(i), len(chunk.steps))
            forced = chunk.forced.get((step, variation)) if slug == "no-steady-point" else None
            word = f"{slug}:{forced.replace(' ', '_')}" if forced else slug
            words[i] = f"{words[i]} {word}".strip()
    return words
