"""``circuitcheck variants``: forms of a circuit side by side, over the same cycle."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli._options import FORM, UNITS
from circuitcheck.cli._output import complain, not_understood, say, sheet
from circuitcheck.cli._status import CLEAN, NOT_SOLVED, NOT_UNDERSTOOD

if TYPE_CHECKING:
    from circuitcheck.pipeline import Project

EPILOG = """\b
A variant stands in the text behind the circuit. Its sentences take the place
of those that bear the same name; others are added; what 'without' names goes:

\b
  variant meter_out "metered behind the cylinder", without V3
  lines
    push from V1 A to C1 cap
    pull from C1 rod through FC1 to V1 B
  end variant

Several files are set side by side as well, the variants of each behind it.

Exit status: 0 done, 2 not understood, 3 a step not solved.
"""


@click.command("variants", short_help="Set variants of a circuit side by side.", epilog=EPILOG)
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--variant", multiple=True, metavar="NAME", help="Only this variant; repeatable.")
@click.option("--result", multiple=True, metavar="NAME", help="A result: 'C1 speed', 'heat'.")
@UNITS
@FORM
def command(
    files: tuple[Path, ...],
    variant: tuple[str, ...],
    result: tuple[str, ...],
    units: str | None,
    form: str,
) -> int:
    """Set the variants in FILES side by side, each compared with the first circuit."""
    from circuitcheck import __version__, pipeline
    from circuitcheck.pipeline.variants import beside
    from circuitcheck.reports.studies_json import dump_variants
    from circuitcheck.reports.variants_text import write_variants

    projects: dict[str, Project] = {}
    titles: list[str] = []
    for file in files:
        whole = pipeline.open_file(file)
        name = "as issued" if len(files) == 1 else file.stem
        if name in projects:
            raise click.UsageError(f"two files are called {name}; give one another name")
        every = {"": whole} | {v: whole.variant(v) for v in _chosen(whole, variant)}
        for own, project in every.items():
            if not project.understood:
                return not_understood(project.solved(), units)
            projects[name if not own else own if len(files) == 1 else f"{name} {own}"] = project
            titles.append(whole.variants[own] if own else project.circuit.title)
    if len(projects) < 2:
        raise click.UsageError("there is nothing to compare: the text has no variants")
    try:
        table, compared = beside(list(projects.values()), list(projects), result)
    except pipeline.CircuitError as error:
        complain(str(error))
        return NOT_UNDERSTOOD
    if form == "json":
        say(dump_variants(table, titles, compared, list(map(str, files)), __version__))
    else:
        page = sheet()
        first = next(iter(projects.values()))
        write_variants(page, table, titles, compared, units or first.circuit.units)
        say(page.text())
    return CLEAN if all(project.solve().solved for project in projects.values()) else NOT_SOLVED


def _chosen(project: Project, wanted: tuple[str, ...]) -> list[str]:
    """Give the names of the variants wanted, all if none are named."""
    known = list(project.variants)
    for name in wanted:
        if name not in known:
            there = f"it has: {', '.join(known)}" if known else "it has none"
            raise click.UsageError(f"{project.file} has no variant '{name}'; {there}")
    return [name for name in known if not wanted or name in wanted]
