"""``circuitcheck check``: what is wrong with circuits, and why."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import STEP, UNITS, only, with_listed
from circuitcheck.cli._output import say, sheet
from circuitcheck.cli._status import status_of, worst


@click.command("check", short_help="Say what is wrong with circuits, and why.")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@STEP
@UNITS
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "sarif", "junit", "csv", "markdown"]),
    default="text",
    show_default=True,
    help="For people, for programs, for code hosts, build servers, spreadsheets, notes.",
)
@click.option(
    "--claims",
    "listed",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    help="CSV of further claims: subject, value, tolerance, step.",
)
def command(
    files: tuple[Path, ...], step: str | None, units: str | None, form: str, listed: Path | None
) -> int:
    """Say what is wrong with the circuits in FILES, why, and what to do.

    Claims are compared with computed figures; rules that lack data are listed.
    """
    from circuitcheck import pipeline, reports

    if form == "json" and len(files) > 1:
        raise click.UsageError("--format json takes one file at a time")
    if listed is not None and len(files) > 1:
        raise click.UsageError("--claims belong to one circuit; name one file")
    statuses: list[int] = []
    results = []
    for file in files:
        project = pipeline.open_file(file)
        if listed is not None:
            project = with_listed(project, listed, "claims")
        result = only(project.check(), step)
        results.append(result)
        if form == "json":
            say(reports.as_json(result))
        elif form == "text":
            page = sheet()
            reports.write_check(page, result, units)
            say(("\n" if statuses else "") + page.text())
        statuses.append(status_of(result))
    if form not in ("json", "text"):
        say(reports.as_listed(results, form))
    return worst(statuses)
