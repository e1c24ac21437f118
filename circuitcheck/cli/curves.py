"""``circuitcheck curves``: characteristics of parts and curves of the duty cycle."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli._options import FILE, UNITS
from circuitcheck.cli._output import complain, not_understood, say, write_file
from circuitcheck.cli._pictures import form_of, write_picture
from circuitcheck.cli._status import CLEAN, NOT_SOLVED, NOT_UNDERSTOOD

if TYPE_CHECKING:
    from circuitcheck.pipeline import Project

EPILOG = """\b
WHAT is one of
  pump PUMP          flow over pressure, with steps and load lines
  drop PART          pressure drop over flow of a valve, filter or line
  speed ACTUATOR     speed over load
  efficiency UNIT    overall efficiency of a pump or motor over speed and pressure
  power              power over the time of the cycle
  energy             where the energy of a cycle goes
  heat               heat made and taken over the temperature of the oil
  warming            oil temperature over time from a cold start
Without WHAT the curves of FILE are listed.

\b
  circuitcheck curves press.hyc pump P1 -o p1.svg
  circuitcheck curves press.hyc drop V1 --way P-A -o v1.png --csv v1.csv

Pictures need matplotlib (pip install 'circuitcheck[plots]'); without -o and
--csv the figures are printed as CSV.

Exit status: 0 done, 2 not understood or no such curve, 3 not solved.
"""


@click.command("curves", short_help="Draw pump, valve, load and energy curves.", epilog=EPILOG)
@FILE
@click.argument("what", required=False)
@click.argument("name", required=False, default="")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), help="Picture: .svg, .png or .pdf."
)
@click.option("--csv", "table", type=click.Path(path_type=Path), help="Write the figures as CSV.")
@click.option("--step", metavar="NAME", default="", help="Only this step (speed).")
@click.option("--way", metavar="P-A", default="", help="Only this way through the part (drop).")
@UNITS
def command(
    file: Path,
    what: str | None,
    name: str,
    output: Path | None,
    table: Path | None,
    step: str,
    way: str,
    units: str | None,
) -> int:
    """Draw curves of FILE: what a pump, a valve, an actuator or the whole cycle does."""
    from circuitcheck import pipeline
    from circuitcheck.reports.curves_csv import as_csv
    from circuitcheck.reports.result import units_of
    from circuitcheck.studies.chart import NoCurveError
    from circuitcheck.studies.cycle import NoDutyError

    if output is not None:
        form_of(output)
    project = pipeline.open_file(file)
    if not project.understood:
        return not_understood(project.solved(), units)
    if what is None:
        say(_listed(project, file))
        return CLEAN
    try:
        found = project.curves(what, name, step=step, way=way)
    except NoCurveError as problem:
        raise click.UsageError(f"{file}: {problem}") from problem
    except NoDutyError as problem:
        complain(f"{file}: {problem}")
        return NOT_SOLVED if problem.unsolved else NOT_UNDERSTOOD
    shown = units_of(project.solved(), units)
    figures = as_csv(found, shown)
    if table is not None:
        write_file(table, figures, file)
        say(f"{table} written\n")
    if output is not None:
        write_picture(output, found, shown, file)
    if table is None and output is None:
        say(figures)
    return CLEAN if project.solve().solved else NOT_SOLVED


def _listed(project: Project, file: Path) -> str:
    """List the curves that a circuit has, as commands to copy."""
    rows = [f"circuitcheck curves {file} {words}" for words in project.curve_names()]
    return "\n".join(rows) + "\n"
