"""``circuitcheck size``: figures that meet targets, and the standard sizes next to them."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import FILE, FORM, UNITS
from circuitcheck.cli._output import complain, not_understood, say, sheet
from circuitcheck.cli._status import CLEAN, FOUND, NOT_UNDERSTOOD

EPILOG = """\b
Figures are named as in the text, with a range where one is wanted:
  --find 'C1 bore'
  --find 'P1 displacement = 8 to 40 cc/rev'
  --find 'C1 load'                 the same in every step that gives it
Targets are written as claims are:
  --target 'C1 speed 50 mm/s, in press'         within 5 %, unless said
  --target 'P1 P pressure 180 bar, at most'     in every step
  --target 'time 36 s, over the cycle, at most'
  --target 'oil temperature 55 degC, at most'   where the oil settles

One figure is scanned over its range and found by bracketing; up to four are
fitted together. Then the sizes of the standards next to it are solved, and the
rules are asked about the one that meets the targets.

Exit status: 0 a standard size meets all targets, 1 none does, 2 not understood.
"""


@click.command("size", short_help="Find the size or setting that meets a target.", epilog=EPILOG)
@FILE
@click.option("--find", multiple=True, required=True, metavar="'NAME [= RANGE]'",
              help="A figure to be found; may be repeated.")  # fmt: skip
@click.option("--target", multiple=True, required=True, metavar="'CLAIM'",
              help="What is to be reached; may be repeated.")  # fmt: skip
@UNITS
@FORM
def command(
    file: Path, find: tuple[str, ...], target: tuple[str, ...], units: str | None, form: str
) -> int:
    """Solve FILE backwards: bore, displacement, setting, orifice or line size for a target."""
    from circuitcheck import __version__, pipeline
    from circuitcheck.reports.sizing_text import write_sizing
    from circuitcheck.reports.studies_json import dump_sizing
    from circuitcheck.studies.trials import NoDurations

    project = pipeline.open_file(file)
    page = sheet()
    if not project.understood:
        return not_understood(project.solved(), units)
    figures = {}
    for row in find:
        name, _, said = row.partition("=")
        figures[" ".join(name.split())] = said.strip()
    shown = units or project.circuit.units
    try:
        found = project.size(figures, target, shown)
        other = project.compared_with(found, found.chosen) if found.feasible else None
    except pipeline.CircuitError as error:
        complain(str(error))
        return NOT_UNDERSTOOD
    except (ValueError, NoDurations) as error:
        raise click.UsageError(str(error)) from error
    if form == "json":
        say(dump_sizing(found, other, str(file), __version__))
    else:
        write_sizing(page, found, shown, other)
        say(page.text())
    return CLEAN if any(attempt.good for attempt in found.standard) else FOUND
