"""``circuitcheck spread``: how far results spread when figures are a little off."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import FILE, FORM, UNITS
from circuitcheck.cli._output import complain, not_understood, say, sheet
from circuitcheck.cli._status import CLEAN, NOT_SOLVED, NOT_UNDERSTOOD

EPILOG = """\b
What may be off is taken from common practice (settings 5 %, the drive 2 %,
the oil 10 K and 10 % of viscosity ...), or from a chapter 'tolerances' of the
text; the last table lists it. Name it yourself:
  --off 'R1 set = 3 %'
  --off 'oil temperature = 5 K'
  --off 'oil viscosity = 10 %'
  --off 'C1 load = 4 kN'
  --off 'P1 volumetric = 0 %'         it is not off at all

Readings of gauges and flowmeters have the error of their class as well.

Exit status: 0 done, 2 not understood, 3 some runs not solved.
"""


@click.command(
    "spread", short_help="Bands of results when settings, oil, parts are off.", epilog=EPILOG
)
@FILE
@click.option("--result", multiple=True, metavar="NAME", help="A result: 'C1 speed', 'heat'.")
@click.option("--step", multiple=True, metavar="NAME", help="Only this step; may be repeated.")
@click.option(
    "--off", multiple=True, metavar="'NAME = AMOUNT'", help="How far a figure may be off."
)
@click.option("--only", is_flag=True, help="Only what --off names may be off.")
@click.option("--runs", type=click.IntRange(min=20, max=1_000_000), default=2000,
              show_default=True, help="Runs drawn.")  # fmt: skip
@click.option("--seed", type=click.IntRange(min=0), default=0, help="Other draws.")
@click.option("--bell", is_flag=True, help="Normal, the limit two deviations; else even.")
@UNITS
@FORM
def command(
    file: Path,
    result: tuple[str, ...],
    step: tuple[str, ...],
    off: tuple[str, ...],
    only: bool,
    runs: int,
    seed: int,
    bell: bool,
    units: str | None,
    form: str,
) -> int:
    """Say how far results of FILE spread, and which figure carries the spread."""
    from circuitcheck import __version__, pipeline
    from circuitcheck.reports.spread_text import write_spread
    from circuitcheck.reports.studies_json import dump_spread

    project = pipeline.open_file(file)
    page = sheet()
    if not project.understood:
        return not_understood(project.solved(), units)
    try:
        found = project.spread(
            result, steps=step, off=_off(off), only=only, runs=runs, seed=seed, bell=bell
        )
    except pipeline.CircuitError as error:
        complain(str(error))
        return NOT_UNDERSTOOD
    if form == "json":
        say(dump_spread(found, str(file), __version__))
    else:
        write_spread(page, found, units or project.circuit.units)
        say(page.text())
    return NOT_SOLVED if found.unsolved else CLEAN


def _off(rows: tuple[str, ...]) -> dict[str, str]:
    found = {}
    for row in rows:
        name, equals, amount = row.partition("=")
        if not equals or not name.strip() or not amount.strip():
            raise click.UsageError(f"'{row}' says nothing; write:  R1 set = 3 %")
        found[" ".join(name.split())] = amount.strip()
    return found
