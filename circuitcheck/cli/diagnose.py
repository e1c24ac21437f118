"""``circuitcheck diagnose``: which fault explains the readings of a machine."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import FILE, UNITS, with_listed
from circuitcheck.cli._output import complain, say, sheet
from circuitcheck.cli._status import FOUND, NOT_SOLVED, NOT_UNDERSTOOD


@click.command("diagnose", short_help="Say which fault explains the readings of a machine.")
@FILE
@click.option(
    "--readings",
    "table",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    help="CSV with columns gauge, value, tolerance, step, oil temperature.",
)
@UNITS
def command(file: Path, table: Path | None, units: str | None) -> int:
    """Judge the readings of FILE, and say which single fault explains them best.

    Readings stand in its chapter 'readings', or in a CSV file. The exit status is 1 where
    something is wrong.
    """
    from circuitcheck import pipeline, reports
    from circuitcheck.reports.diagnosis import write_diagnosis
    from circuitcheck.reports.result import units_of
    from circuitcheck.review.case_drain import case_drains
    from circuitcheck.review.diagnosis import diagnose

    project = pipeline.open_file(file)
    if table is not None:
        project = with_listed(project, table, "readings")
    result = project.check()
    page = sheet()
    if result.circuit is None or result.solution is None:
        reports.write_check(page, result, units)
        complain(page.text())
        return NOT_UNDERSTOOD
    if not result.solved:
        complain("a step could not be solved; see 'circuitcheck check'")
        return NOT_SOLVED
    if not result.circuit.readings:
        raise click.UsageError(
            f"{file} has no readings; write a chapter 'readings' or name a file: --readings x.csv"
        )
    found, left_out = diagnose(result.circuit)
    drains = case_drains(result.circuit, result.solution)
    write_diagnosis(page, result, found, drains, left_out, units_of(result, units))
    say(page.text())
    return 0 if found.sound else FOUND
