"""``circuitcheck draw``: the schematic of a circuit."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import FILE, only
from circuitcheck.cli._output import complain, say, sheet, write_file
from circuitcheck.cli._status import FAULT, NOT_UNDERSTOOD


@click.command("draw", short_help="Draw the schematic as SVG.")
@FILE
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), help="SVG file; without it, the screen."
)
@click.option("--step", metavar="NAME", help="Write the values of this step beside their points.")
def command(file: Path, output: Path | None, step: str | None) -> int:
    """Draw the schematic of FILE with ISO 1219 symbols."""
    from circuitcheck import pipeline, reports
    from circuitcheck.schematic import NotDrawable

    project = pipeline.open_file(file)
    if not project.understood:
        page = sheet()
        reports.write_check(page, project.check(), None)
        complain(page.text())
        return NOT_UNDERSTOOD
    if step is not None:
        only(project.solved(), step)
    try:
        drawn = project.draw(step or "")
    except NotDrawable as problem:
        complain(
            f"{file}: no drawing without faults was found ({problem});\n"
            "hints in a chapter 'drawing' can help, for example: C1 above V1"
        )
        return FAULT
    if output is None:
        say(drawn if drawn.endswith("\n") else drawn + "\n")
    else:
        write_file(output, drawn, file)
        say(f"{output} written\n")
    return 0
