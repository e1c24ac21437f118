"""The tables of the report by their captions, for those who go on working with them."""

from __future__ import annotations

from circuitcheck.reports.background import assumptions_table
from circuitcheck.reports.claims import claims_table
from circuitcheck.reports.findings_text import not_checked_table
from circuitcheck.reports.page_lists import heat_table, lines_table, parts_table
from circuitcheck.reports.result import Result, units_of
from circuitcheck.reports.step_tables import point_tables, pressures_table, steps_table
from circuitcheck.reports.tables import Table
from circuitcheck.reports.tank_tables import tank_tables


def of_circuit(result: Result) -> dict[str, Table]:
    """Give the tables over all steps; those without rows are left out."""
    if result.circuit is None:
        return {}
    circuit, units = result.circuit, units_of(result)
    made = [
        steps_table(result, units),
        pressures_table(result, units),
        *tank_tables(result, units),
        claims_table(result.claims, units),
        lines_table(result, circuit, units),
        parts_table(circuit),
        heat_table(result, units),
        assumptions_table(circuit),
        not_checked_table(result.not_checked),
    ]
    return {table.caption: table for table in made if table.rows}


def of_step(result: Result, step: str) -> dict[str, Table]:
    """Give the tables of one step, none where it is not solved; ``KeyError`` as `only`."""
    point = result.only(step).points[0]
    made = point_tables(point, units_of(result)) if point.success else []
    return {table.caption: table for table in made}
