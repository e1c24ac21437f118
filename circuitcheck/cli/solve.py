"""``circuitcheck solve``: the operating points of a circuit."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import FILE, FORM, STEP, UNITS, only
from circuitcheck.cli._output import complain, say, sheet
from circuitcheck.cli._status import status_of


@click.command("solve", short_help="Compute pressure, flow, speed and heat in every step.")
@FILE
@STEP
@UNITS
@FORM
def command(file: Path, step: str | None, units: str | None, form: str) -> int:
    """Compute pressure, flow, speed, force, power and heat of FILE in every step."""
    from circuitcheck import pipeline, reports

    result = only(pipeline.open_file(file).solved(), step)
    if form == "json":
        say(reports.as_json(result))
        return status_of(result)
    page = sheet()
    if result.circuit is None:
        reports.write_check(page, result, units)
        complain(page.text())
    else:
        reports.write_solve(page, result, units)
        say(page.text())
    return status_of(result)
