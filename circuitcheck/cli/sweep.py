"""``circuitcheck sweep``: many variations of a circuit into a table."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from circuitcheck.cli._options import FILE
from circuitcheck.cli._output import complain, refused, say, sheet, target_of
from circuitcheck.cli._status import CLEAN, INTERRUPTED, NOT_SOLVED, NOT_UNDERSTOOD

if TYPE_CHECKING:
    from circuitcheck.pipeline import Project
    from circuitcheck.sweeps.run import Progress, Swept

EXAMPLE = "R1 set = 50 to 300 bar, 100 points"
ENDINGS = (".csv", ".parquet")

EPILOG = """\b
Values of a --vary are written in one of these ways:
  R1 set = 50 to 300 bar, 100 points      evenly, both ends among them
  R1 set = 50 to 300 bar in steps of 10 bar
  C1 load = 20, 40, 80 kN
  oil temperature = 40 degC               one value for all
  V1 opening = 10 to 100 %                a range to draw from (--random)

A figure that steps give, such as a load, is varied in every step that gives it.
The table has a row for each variation and step: the varied figures, the
results, whether it is solved and how, and remarks. Where there is no answer the
figures are left empty.

A run that was interrupted is continued by the same command; its finished chunks
lie beside the output, in a folder that ends in ".parts".

Exit status: 0 all solved, 2 not understood or not written, 3 some variations
not solved, 130 interrupted.
"""


@click.command(
    "sweep", short_help="Solve many variations into a CSV or Parquet table.", epilog=EPILOG
)
@FILE
@click.option("--vary", multiple=True, metavar="'NAME = VALUES'", help="A figure and its values.")
@click.option("--result", multiple=True, metavar="NAME", help="A result: 'C1 speed', 'heat'.")
@click.option("--step", multiple=True, metavar="NAME", help="Only this step; may be repeated.")
@click.option("--grid", is_flag=True, help="Take every value with every other.")
@click.option("--random", type=click.IntRange(min=1), metavar="N", help="Draw N variations.")
@click.option("--seed", type=click.IntRange(min=0), default=0, help="Other draws of --random.")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), required=True,
    help="File to write; it ends in .csv or .parquet.",
)  # fmt: skip
@click.option(
    "--units", type=click.Choice(["metric", "inch", "SI"]),
    help="Units of the columns; without it those of the text.",
)  # fmt: skip
@click.option("--chunk", type=click.IntRange(min=1), help="Variations solved at a time.")
@click.option("--scheduler", metavar="ADDRESS", help="Spread over workers of this Dask scheduler.")
@click.option("--afresh", is_flag=True, help="Discard what an unfinished run left.")
def command(
    file: Path,
    vary: tuple[str, ...],
    result: tuple[str, ...],
    output: Path,
    step: tuple[str, ...],
    random: int | None,
    **options: Any,
) -> int:
    """Solve many variations of FILE and write results of each into a table."""
    from circuitcheck import pipeline, reports

    if output.suffix not in ENDINGS:
        raise click.UsageError(f"the name of the output ends in {' or '.join(ENDINGS)}")
    if not result:
        raise click.UsageError("name a result to write:  --result 'C1 speed'")
    target = target_of(output, file)
    project = pipeline.open_file(file)
    if not project.understood:
        page = sheet()
        reports.write_check(page, project.solved(), None)
        complain(page.text())
        return NOT_UNDERSTOOD
    try:
        swept = _run(project, target, _values(vary), result, step, random or 0, options)
    except pipeline.CircuitError as error:
        complain(str(error))
        return NOT_UNDERSTOOD
    except KeyboardInterrupt:
        complain(f"interrupted; the same command continues what is in {output}.parts")
        return INTERRUPTED
    _tell(output, swept)
    return NOT_SOLVED if swept.without_figures else CLEAN


def _values(rows: tuple[str, ...]) -> dict[str, str]:
    found: dict[str, str] = {}
    for row in rows:
        name, equals, values = row.partition("=")
        name = " ".join(name.split())
        if not equals or not name or not values.strip():
            raise click.UsageError(f"'{row}' gives no figure and its values; write: {EXAMPLE}")
        if name in found:
            raise click.UsageError(f"{name} is varied twice")
        found[name] = values.strip()
    return found


def _run(
    project: Project,
    target: Path,
    values: dict[str, str],
    results: tuple[str, ...],
    steps: tuple[str, ...],
    random: int,
    options: dict[str, Any],
) -> Swept:
    from circuitcheck.sweeps.spread import SpreadError
    from circuitcheck.sweeps.store import StoreError

    if target.suffix == ".parquet":
        _need_pyarrow()
    try:
        with _bar() as progress:
            return project.sweep(
                target, values, results=results, steps=steps, random=random, progress=progress,
                chunk=options["chunk"] or 0, units=options["units"], grid=options["grid"],
                seed=options["seed"], scheduler=options["scheduler"] or "",
                afresh=options["afresh"],
            )  # fmt: skip
    except StoreError as error:
        raise refused(target.name, str(error)) from error
    except SpreadError as error:
        raise refused(target.name, str(error)) from error
    except OSError as error:
        raise refused(target.name, error) from error


def _need_pyarrow() -> None:
    try:
        import pyarrow.parquet  # noqa: F401
    except ImportError as error:
        raise click.UsageError(
            "Parquet needs pyarrow: install circuitcheck[parquet], or write a .csv"
        ) from error


@contextmanager
def _bar() -> Iterator[Progress | None]:
    """Give a bar on a terminal, nothing elsewhere."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TimeRemainingColumn

    with Progress(
        BarColumn(), MofNCompleteColumn(), TimeRemainingColumn(),
        console=Console(stderr=True), transient=True,
    ) as bar:  # fmt: skip
        yield _on(bar, bar.add_task("variations", total=None))


def _on(bar: Any, task: Any) -> Callable[[int, int], None]:
    def progress(done: int, of: int) -> None:
        bar.update(task, completed=done, total=of)

    return progress


def _tell(output: Path, swept: Swept) -> None:
    from circuitcheck.solver.work import REMARKS

    page = sheet()
    again = f", {swept.continued} of them by an earlier run" if swept.continued else ""
    page.paragraph(f"{output}: {swept.variations} variations{again}, {swept.rows} rows")
    for slug, count in swept.remarks.items():
        page.paragraph(f"{count} rows: {REMARKS[slug]} ({slug})", "  ", "    ")
    say(page.text())
