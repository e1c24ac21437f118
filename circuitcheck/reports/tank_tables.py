"""Tables of the tanks: oil in them step by step, time to settle, air and heat."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.quantities import System, show
from circuitcheck.reports.figures import bare, valued
from circuitcheck.reports.result import Result
from circuitcheck.reports.tables import Column, Table, figures, table

COLUMNS = (
    ("Oil", "volume", "oil"),
    ("Level", "length", "level"),
    ("Air space", "volume", "air space"),
    ("Return", "flow", "return flow"),
    ("Dwell", "time", "dwell"),
    ("Air in", "flow", "air flow"),
    ("Wall heat", "power", "wall heat"),
)
"""Head, quantity and name of the figure in the results of a tank."""


def tank_tables(result: Result, units: System) -> Iterator[Table]:
    """Give a table for every tank whose volume is known, a row per step."""
    points = [point for point in result.points if point.success]
    if not points:
        return
    for name, first in points[0].parts.items():
        if first.kind != "tank" or "dwell" not in first.values:
            continue
        states = [(point, point.parts[name]) for point in points]
        cools = any(point.totals.cooled != 0.0 for point in points)
        rows = [
            (
                point.step.name,
                *(valued(state, figure, units) for _, _, figure in COLUMNS),
                bare(point.totals.cooled, "power", units) if cools else "",
            )
            for point, state in states
        ]
        columns = [Column("Step"), *(figures(head, kind, units) for head, kind, _ in COLUMNS)]
        notes = []
        if "rods out" in first.values:
            inside, out, swing = (
                show(first.values[figure], "volume", units)
                for figure in ("rods in", "rods out", "swing")
            )
            notes.append(f"All rods in: {inside}; all out: {out}. Swing of the cycle: {swing}.")
        if cools:
            notes.append("Cooled: heat that all walls and coolers take.")
        yield table(f"Tank {name}", [*columns, figures("Cooled", "power", units)], rows, notes)
