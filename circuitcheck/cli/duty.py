"""``circuitcheck duty``: energy, loads and heat of a duty cycle."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import FILE, FORM, UNITS
from circuitcheck.cli._output import complain, not_understood, say, sheet
from circuitcheck.cli._pictures import form_of, write_picture
from circuitcheck.cli._quantity import in_si
from circuitcheck.cli._status import CLEAN, NOT_SOLVED, NOT_UNDERSTOOD

EPILOG = """\b
The cycle is gone through over and over, until stores end as they began and
the oil is as warm as it gets; viscosity and leakage follow its temperature.
Tank walls and the air round them are those of the tank in the text (walls,
air, sheds, ambient).

More pictures of it: 'circuitcheck curves FILE power', 'heat' or 'warming'.

Exit status: 0 done, 2 not understood or no cycle with times, 3 not solved.
"""


@click.command(
    "duty", short_help="Energy, drive load, oil temperature of the duty cycle.", epilog=EPILOG
)
@FILE
@click.option(
    "--hold", callback=in_si("temperature"), metavar="TEMPERATURE",
    help="Size cooler and tank for this oil; that of the text if left out.",
)  # fmt: skip
@click.option(
    "--oil", callback=in_si("temperature"), metavar="TEMPERATURE",
    help="Give all figures at this oil, not where it settles.",
)  # fmt: skip
@click.option(
    "--metal", callback=in_si("mass"), metavar="MASS",
    help="Steel that warms with the oil, for the warm-up time.",
)  # fmt: skip
@click.option(
    "--pieces", type=click.IntRange(min=1, max=64),
    help="Follow every step in so many pieces; 4 where there are accumulators.",
)  # fmt: skip
@click.option(
    "-o", "--output", type=click.Path(path_type=Path),
    help="Draw where the energy goes: .svg, .png or .pdf.",
)  # fmt: skip
@UNITS
@FORM
def command(
    file: Path,
    hold: float | None,
    oil: float | None,
    metal: float | None,
    pieces: int | None,
    output: Path | None,
    units: str | None,
    form: str,
) -> int:
    """Follow the duty cycle of FILE: where the energy goes, how hot the oil gets."""
    from circuitcheck import __version__, pipeline
    from circuitcheck.reports.result import units_of
    from circuitcheck.studies.cycle import NoDutyError

    if output is not None:
        form_of(output)
    project = pipeline.open_file(file)
    page = sheet()
    if not project.understood:
        return not_understood(project.solved(), units)
    try:
        found = project.duty(hold=hold, oil=oil, metal=metal or 0.0, pieces=pieces or 0)
    except NoDutyError as problem:
        complain(f"{file}: {problem}")
        return NOT_SOLVED if problem.unsolved else NOT_UNDERSTOOD
    shown = units_of(project.solved(), units)
    if output is not None:
        write_picture(output, found, shown, file)
        return CLEAN
    if form == "json":
        from circuitcheck.reports.duty_json import dump_duty

        say(dump_duty(found, str(file), __version__))
        return CLEAN
    from circuitcheck.reports.duty_text import write_duty

    write_duty(page, found, shown)
    say(page.text())
    return CLEAN
