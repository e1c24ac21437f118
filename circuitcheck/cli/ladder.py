"""``circuitcheck ladder``: settings and working pressures of a circuit, low to high."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import FILE, UNITS
from circuitcheck.cli._output import complain, say, sheet, write_file
from circuitcheck.cli._status import FOUND, status_of


@click.command("ladder", short_help="List settings and pressures low to high, with gaps.")
@FILE
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), help="Draw it into this file .svg."
)
@UNITS
def command(file: Path, output: Path | None, units: str | None) -> int:
    """List all settings, ratings and working pressures of FILE as a ladder.

    The exit status is 1 where a rule says that two of them stand in the wrong order.
    """
    from circuitcheck import pipeline, reports
    from circuitcheck.reports.ladder import ladder_table
    from circuitcheck.reports.ladder_picture import ladder_picture
    from circuitcheck.reports.result import units_of
    from circuitcheck.review.ladder import ladder

    result = pipeline.open_file(file).check()
    page = sheet()
    if result.circuit is None or result.solution is None:
        reports.write_check(page, result, units)
        complain(page.text())
        return status_of(result)
    shown = units_of(result, units)
    accepted = [one.finding for one in result.accepted]
    rungs = ladder(result.circuit, result.solution, [*result.findings, *accepted])
    if output is not None:
        if output.suffix.lower() != ".svg":
            raise click.UsageError(f"{output} should end in .svg")
        write_file(output, ladder_picture(rungs, result.circuit.title, shown), file)
        say(f"{output} written\n")
    else:
        page.table(ladder_table(rungs, shown))
        say(page.text())
    wrong = any(rung.wrong for rung in rungs)
    return max(status_of(result) if not result.solved else 0, FOUND if wrong else 0)
