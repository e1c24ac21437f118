"""``circuitcheck report``: everything about a circuit in one document."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import UNITS
from circuitcheck.cli._output import say, sheet, write_file
from circuitcheck.cli._status import status_of

EXAMPLE = "press.hyc"
FORMS = {".html": "html", ".htm": "html", ".json": "json", ".txt": "text"}


@click.command("report", short_help="Write the whole report: findings, figures, drawing.")
@click.argument("file", required=False, type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    help="File to write; .html, .json or .txt. Without it, text on the screen.",
)
@UNITS
def command(file: Path | None, output: Path | None, units: str | None) -> int:
    """Write the whole report about FILE: findings, claims, operating points, drawing.

    Without FILE the circuit that comes with the program is taken.
    """
    from circuitcheck import pipeline, reports
    from circuitcheck.basics.folders import folder

    form = "text" if output is None else FORMS.get(output.suffix.lower(), "")
    if not form:
        raise click.UsageError(f"{output} should end in .html, .json or .txt")
    source = file or folder("examples") / EXAMPLE
    if file is None:
        say(f"No file was named: this is {EXAMPLE}, a circuit that comes with circuitcheck.\n\n")
    project = pipeline.open_file(source)
    result = project.check()
    if output is None:
        page = sheet()
        reports.write_report(page, result, units)
        say(page.text())
    else:
        write_file(output, project.report(form, units), source)
        say(f"{output} written: {reports.count_line(result)}\n")
    return status_of(result)
