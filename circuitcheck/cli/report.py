"""``circuitcheck report``: everything about a circuit in one document."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import UNITS
from circuitcheck.cli._output import say, sheet, write_file
from circuitcheck.cli._status import status_of

EXAMPLE = "press.hyc"
FORMS = {".html": "html", ".htm": "html", ".pdf": "pdf", ".json": "json", ".txt": "text"}


@click.command("report", short_help="Write the whole report: findings, figures, drawing.")
@click.argument("file", required=False, type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    help="File to write; .html, .pdf, .json or .txt. Without it, text on the screen.",
)
@click.option(
    "--numbers", is_flag=True, help="Open what says how each number was made; in a PDF, add it."
)
@click.option(
    "--paper", type=click.Choice(["A4", "letter"]), help="Fit page or PDF to it; a PDF is A4 else."
)
@UNITS
def command(
    file: Path | None, output: Path | None, numbers: bool, paper: str | None, units: str | None
) -> int:
    """Write the whole report about FILE: findings, claims, operating points, drawing.

    Without FILE the circuit that comes with the program is taken.
    """
    from circuitcheck import pipeline, reports
    from circuitcheck.basics.folders import folder
    from circuitcheck.reports.page_pdf import PdfMissingError

    form = "text" if output is None else FORMS.get(output.suffix.lower(), "")
    if not form:
        raise click.UsageError(f"{output} should end in .html, .pdf, .json or .txt")
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
        written: str | bytes
        if form == "pdf":
            try:
                written = project.report_pdf(units, numbers=numbers, paper=paper or "A4")
            except PdfMissingError as problem:
                raise click.UsageError(str(problem)) from problem
        else:
            shown = "open" if numbers else "folded"
            written = project.report(form, units, numbers=shown, paper=paper or "")
        write_file(output, written, source)
        say(f"{output} written: {reports.count_line(result)}\n")
    return status_of(result)
