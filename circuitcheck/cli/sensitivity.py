"""``circuitcheck sensitivity``: which figures a result depends on, and how much."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli._options import FILE, FORM, STEP, UNITS, only
from circuitcheck.cli._output import complain, not_understood, say, sheet
from circuitcheck.cli._status import CLEAN, NOT_SOLVED, NOT_UNDERSTOOD

if TYPE_CHECKING:
    from circuitcheck.pipeline import Project
    from circuitcheck.solver.sensitivity import Sensitivity

EPILOG = """\b
Results and figures are named as in the text:
  circuitcheck sensitivity lift.hyc "C1 speed" --step up_loaded
  circuitcheck sensitivity lift.hyc "C1 speed" "R1 set" "P1 displacement"
  circuitcheck sensitivity lift.hyc heat --all

Exit status: 0 answered, 2 not understood, 3 a step that is asked for is not
solved or has no slopes.
"""


@click.command(
    "sensitivity", short_help="Say which figures a result depends on, and how much.", epilog=EPILOG
)
@FILE
@click.argument("result")
@click.argument("figures", nargs=-1)
@STEP
@click.option("--all", "whole", is_flag=True, help="List figures that do not move it, too.")
@UNITS
@FORM
def command(
    file: Path,
    result: str,
    figures: tuple[str, ...],
    step: str | None,
    whole: bool,
    units: str | None,
    form: str,
) -> int:
    """Say how RESULT of FILE changes with its figures, what counts most first.

    Without FIGURES all that the text gives are looked at, in every step of the cycle.
    """
    from circuitcheck import pipeline
    from circuitcheck.reports.result import units_of
    from circuitcheck.reports.sensitivities import sensitivity_json, write_sensitivities

    result = " ".join(result.split())
    project = pipeline.open_file(file)
    solved = project.solved()
    if not project.understood:
        return not_understood(solved, units)
    steps = [point.step.name for point in only(solved, step).points]
    try:
        found, refused = _found(project, result, figures, steps)
    except pipeline.CircuitError as error:
        complain(str(error))
        return NOT_UNDERSTOOD
    if form == "json":
        say(sensitivity_json(str(file), result, found))
    else:
        page, shown = sheet(), units_of(solved, units)
        write_sensitivities(page, result, found, shown, whole or bool(figures))
        say(page.text())
    for sentence in refused:
        complain(sentence)
    return NOT_SOLVED if refused else CLEAN


def _found(
    project: Project, result: str, figures: tuple[str, ...], steps: list[str]
) -> tuple[dict[str, list[Sensitivity]], list[str]]:
    """Give sensitivities by step, and why steps have none."""
    found, refused = {}, []
    for step in steps:
        try:
            found[step] = project.sensitivities(result, figures, step)
        except ValueError as error:
            refused.append(str(error))
    return found, refused
