"""``circuitcheck startup``: the card with which a machine is started for the first time."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import FILE, UNITS
from circuitcheck.cli._output import complain, say, sheet, write_file
from circuitcheck.cli._status import status_of


@click.command("startup", short_help="Write the start-up card: order, settings, readings.")
@FILE
@click.option("-o", "--output", type=click.Path(path_type=Path), help="Write it to this file.")
@UNITS
def command(file: Path, output: Path | None, units: str | None) -> int:
    """Write the start-up card of FILE: what to do in which order, and what gauges must show.

    Each reading has a band: settings, drive speed and oil temperature may be off, and the
    meter has its class.
    """
    from circuitcheck import pipeline, reports
    from circuitcheck.reports.result import units_of
    from circuitcheck.reports.start_up import write_card
    from circuitcheck.reports.terminal import Sheet
    from circuitcheck.review.case_drain import case_drains
    from circuitcheck.review.expected import expected
    from circuitcheck.review.ladder import SETTING, ladder
    from circuitcheck.review.start_up import start_up

    result = pipeline.open_file(file).check()
    page = sheet() if output is None else Sheet()
    if result.circuit is None or result.solution is None:
        reports.write_check(page, result, units)
        complain(page.text())
        return status_of(result)
    rungs = ladder(result.circuit, result.solution, result.findings)
    points = start_up(result.circuit, any(rung.sort == SETTING for rung in rungs))
    readings = expected(result.circuit, result.solution)
    drains = case_drains(result.circuit, result.solution)
    write_card(page, result, points, rungs, readings, drains, units_of(result, units))
    if output is None:
        say(page.text())
    else:
        write_file(output, page.text(), file)
        say(f"{output} written\n")
    return status_of(result)
