"""The operating points as text: the answer of ``solve``."""

from __future__ import annotations

from circuitcheck.basics.quantities import System, show
from circuitcheck.circuit.model import Circuit
from circuitcheck.reports.background import assumptions_table, unused_lines
from circuitcheck.reports.result import Result, label, uncertain
from circuitcheck.reports.step_tables import (
    oil_line,
    point_tables,
    pressures_table,
    solver_table,
    steps_table,
)
from circuitcheck.reports.tank_tables import tank_tables
from circuitcheck.reports.terminal import MARGIN, Sheet
from circuitcheck.reports.two_points import two_points_lines


def write_title(sheet: Sheet, result: Result, circuit: Circuit, units: System) -> None:
    """Write the title of the circuit and the oil it was solved with."""
    issue = f", issue {circuit.issue}" if circuit.issue else ""
    sheet.heading(f"{circuit.title or 'Circuit without a title'}{issue}")
    for line in dict.fromkeys(oil_line(p, circuit.oil.name, units) for p in result.points):
        sheet.line(line)


def write_solution(sheet: Sheet, result: Result, units: System) -> None:
    """Write all tables of the operating points, then how they were had."""
    sheet.table(steps_table(result, units))
    sheet.table(pressures_table(result, units))
    for made in tank_tables(result, units):
        sheet.table(made)
    for point in result.points:
        time = "" if point.duration is None else f", {show(point.duration, 'time', units)}"
        sheet.heading(f"Step {point.step.name}{time}")
        if not point.success:
            sheet.paragraph(f"Not solved: {point.message}.", style="red")
            continue
        for told in two_points_lines(point, units):
            sheet.paragraph(told)
        for made in point_tables(point, units):
            sheet.table(made)


def write_background(sheet: Sheet, result: Result, units: System) -> None:
    """Write what the figures rest on: uncertain pressures, solver, assumptions, unused text."""
    sheet.heading("What the figures rest on")
    circuit = result.circuit
    doubtful = uncertain(result)
    if circuit is not None and doubtful:
        sheet.section("Pressures that nothing in the circuit sets")
        for status, names, steps in doubtful:
            every = len(steps) == len(result.points) > 1
            where = "in every step" if every else f"in {', '.join(steps)}"
            named = "; ".join(dict.fromkeys(label(circuit, name) for name in names))
            sheet.paragraph(f"{named}: {status} {where}", MARGIN, MARGIN * 2)
    sheet.table(solver_table(result, units))
    if circuit is None:
        return
    if circuit.assumptions:
        sheet.table(assumptions_table(circuit))
    if circuit.unused:
        sheet.section("Not used yet (read, kept, without effect on any figure)")
        for line in unused_lines(circuit):
            sheet.paragraph(line, MARGIN, MARGIN * 2)
