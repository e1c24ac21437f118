"""``circuitcheck check``: what is wrong with circuits, and why."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import FORM, STEP, UNITS, only
from circuitcheck.cli._output import say, sheet
from circuitcheck.cli._status import status_of, worst


@click.command("check", short_help="Say what is wrong with circuits, and why.")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@STEP
@UNITS
@FORM
def command(files: tuple[Path, ...], step: str | None, units: str | None, form: str) -> int:
    """Say what is wrong with the circuits in FILES, why, and what to do.

    Claims are compared with computed figures; rules that lack data are listed.
    """
    from circuitcheck import pipeline, reports

    if form == "json" and len(files) > 1:
        raise click.UsageError("--format json takes one file at a time")
    statuses: list[int] = []
    for file in files:
        result = only(pipeline.open_file(file).check(), step)
        if form == "json":
            say(reports.as_json(result))
        else:
            page = sheet()
            reports.write_check(page, result, units)
            say(("\n" if statuses else "") + page.text())
        statuses.append(status_of(result))
    return worst(statuses)
