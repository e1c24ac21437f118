"""Options and arguments that several commands share."""

from __future__ import annotations

import difflib
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from circuitcheck.pipeline import Project
    from circuitcheck.reports.result import Result

FILE = click.argument("file", type=click.Path(path_type=Path))
UNITS = click.option(
    "--units",
    type=click.Choice(["metric", "inch"]),
    help="Units of the answers; without it those of the text.",
)
STEP = click.option("--step", metavar="NAME", help="Only this step of the cycle.")
FORM = click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="For people or for programs; 'circuitcheck explain json' describes the latter.",
)


def only(result: Result, step: str | None) -> Result:
    """Narrow a result to the step asked for; a step that is not there is said so."""
    if step is None or result.circuit is None:
        return result
    known = [point.step.name for point in result.points]
    if step in known:
        return result.only(step)
    near = difflib.get_close_matches(step, known, 1)
    hint = f"did you mean '{near[0]}'?" if near else f"it has: {', '.join(known)}"
    raise click.UsageError(f"{result.file} has no step '{step}'; {hint}")


def with_listed(project: Project, table: Path, chapter: str) -> Project:
    """Give the project with the claims or readings of a CSV table as a further chapter."""
    from circuitcheck.pipeline.listed import with_table

    try:
        return with_table(project, table, chapter)
    except ValueError as problem:
        raise click.UsageError(f"{table}: {problem}") from problem
