"""A table as data: caption, columns, rows of text; text and page draw it each their way."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import nan
from typing import Any

from circuitcheck.basics.frames import frame, headed
from circuitcheck.basics.quantities import System, unit_label
from circuitcheck.basics.shown import Shown


@dataclass(frozen=True)
class Column:
    """Head of a column; figures stand to the right. ``whole``: its words are never broken."""

    head: str
    unit: str = ""
    figures: bool = False
    whole: bool = False


@dataclass(frozen=True)
class Table(Shown):
    """Rows of text under heads; ``notes`` stand below the table."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()

    def to_pandas(self) -> Any:
        """Give the table as a ``pandas.DataFrame``; columns of figures become numbers.

        The numbers are those printed, rounded as they are; an empty place becomes NaN.
        Raises `circuitcheck.basics.frames.PandasMissingError` where pandas is not installed.
        """
        columns: dict[str, list[Any]] = {}
        for i, column in enumerate(self.columns):
            cells = [row[i] for row in self.rows]
            columns[headed(column.head, column.unit)] = _numbers(cells) if column.figures else cells
        return frame(columns)


def _numbers(cells: list[str]) -> list[Any]:
    """Read cells as numbers; left as they are where one of them is none ("12.1 / 0.3")."""
    try:
        return [float(cell) if cell else nan for cell in cells]
    except ValueError:
        return list(cells)


def figures(head: str, quantity: str, units: System) -> Column:
    """Give a column of bare figures, the unit in its head."""
    return Column(head, unit_label(quantity, units), True)


def table(
    caption: str,
    columns: Sequence[Column],
    rows: Iterable[Sequence[str]],
    notes: Iterable[str] = (),
) -> Table:
    """Make a table, leaving out columns in which nothing stands."""
    whole = [tuple(row) for row in rows]
    kept = [i for i in range(len(columns)) if i == 0 or any(row[i] for row in whole)]
    return Table(
        caption,
        tuple(columns[i] for i in kept),
        tuple(tuple(row[i] for i in kept) for row in whole),
        tuple(notes),
    )
