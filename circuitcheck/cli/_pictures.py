"""Pictures of curves: the form by the name of the file, written whole or not at all."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli._output import say, write_file
from circuitcheck.reports.plots import FORMS, NoPlotsError, picture

if TYPE_CHECKING:
    from circuitcheck.basics.quantities import System
    from circuitcheck.studies.chart import Chart, Field
    from circuitcheck.studies.duty import Duty


def form_of(output: Path) -> str:
    """Give the form that a file's name asks for; another ending is said to be wrong."""
    form = output.suffix.lower().lstrip(".")
    if form not in FORMS:
        raise click.UsageError(f"{output} should end in .svg, .png or .pdf")
    return form


def write_picture(output: Path, drawn: Chart | Field | Duty, units: System, read: Path) -> None:
    """Draw into a file, never over the circuit that was ``read``, and say so."""
    form = form_of(output)
    try:
        made = picture(drawn, units, form)
    except NoPlotsError as problem:
        raise click.UsageError(str(problem)) from problem
    write_file(output, made, read)
    say(f"{output} written\n")
