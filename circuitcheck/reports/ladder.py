"""The pressure ladder as a table."""

from __future__ import annotations

from circuitcheck.basics.quantities import System, number_in
from circuitcheck.reports.tables import Column, Table, figures, table
from circuitcheck.review.ladder import Rung

MOST_NAMES = 4
"""Parts that are named where many have one rating."""


def ladder_table(rungs: list[Rung], units: System) -> Table:
    """Give the rungs from high to low, as a ladder stands, with the gap to the next below."""
    rows = []
    below = [None, *rungs[:-1]]
    for rung, lower in reversed(list(zip(rungs, below, strict=True))):
        rows.append(
            (
                _number(rung.pressure, units),
                "" if lower is None else _number(rung.pressure - lower.pressure, units),
                rung.sort,
                f"{names(rung)} {rung.what}",
                rung.step,
                "".join(f"WRONG: {slug} " for slug in rung.wrong).strip(),
            )
        )
    return table(
        "Pressure ladder, high to low",
        (
            figures("Pressure", "pressure", units),
            Column("Gap below", "", True),
            Column("Sort"),
            Column("Of"),
            Column("In step"),
            Column("Order"),
        ),
        rows,
        ["Working: the highest pressure over the steps. Rules that are named are explained by "
         "'circuitcheck explain RULE'."],
    )  # fmt: skip


def names(rung: Rung, most: int = MOST_NAMES) -> str:
    """Name the parts of a rung, many of them in short."""
    more = len(rung.of) - most
    return ", ".join(rung.of[:most]) + (f" and {more} more" if more > 0 else "")


def _number(pressure: float, units: System) -> str:
    return f"{number_in(pressure, 'pressure', units):.1f}"
