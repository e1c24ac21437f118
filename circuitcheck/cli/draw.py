"""``circuitcheck draw``: the schematic of a circuit."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import FILE, only
from circuitcheck.cli._output import complain, say, sheet, write_file
from circuitcheck.cli._status import NOT_UNDERSTOOD


@click.command("draw", short_help="Draw the schematic as SVG.")
@FILE
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), help="SVG file; without it, the screen."
)
@click.option("--step", metavar="NAME", help="Write the values of this step beside their points.")
def command(file: Path, output: Path | None, step: str | None) -> int:
    """Draw the schematic of FILE with ISO 1219 symbols."""
    from circuitcheck import pipeline, reports

    project = pipeline.open_file(file)
    if not project.understood:
        page = sheet()
        reports.write_check(page, project.check(), None)
        complain(page.text())
        return NOT_UNDERSTOOD
    if step is not None:
        only(project.solved(), step)
    drawn = project.draw(step or "")
    if output is None:
        say(drawn if drawn.endswith("\n") else drawn + "\n")
    else:
        write_file(output, drawn, file)
        say(f"{output} written\n")
    return 0
