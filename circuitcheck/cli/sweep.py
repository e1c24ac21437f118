"""``circuitcheck sweep``: many variations of a circuit, on the screen or into a table."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from circuitcheck.cli._options import FILE
from circuitcheck.cli._output import complain, not_understood, refused, say, sheet, target_of
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
  V1 opening = 10 to 100 %                a range to draw from, see --latin

Without --vary the chapters "variations" of the text are worked through:

\b
  variations "which setting?"
    vary R1 set from 160 bar to 240 bar, 5 points
    vary C1 load 50 or 100 kN, in press
    show C1 speed, heat

A figure that steps give, such as a load, is varied in every step that gives it.
The table has a row for each variation and step: the varied figures, the
results, whether it is solved and how, and remarks. Where there is no answer the
figures are left empty; "no-steady-point:P1,P2" names the parts to look at.

A run that was interrupted is continued by the same command; its finished chunks
lie beside the output, in a folder that ends in ".parts".

Exit status: 0 all solved, 2 not understood or not written, 3 some variations
not solved, 130 interrupted.
"""


@click.command(
    "sweep", short_help="Vary figures: a table on the screen, CSV or Parquet.", epilog=EPILOG
)
@FILE
@click.option("--vary", multiple=True, metavar="'NAME = VALUES'", help="A figure and its values.")
@click.option("--result", multiple=True, metavar="NAME", help="A result: 'C1 speed', 'heat'.")
@click.option("--step", multiple=True, metavar="NAME", help="Only this step; may be repeated.")
@click.option("--grid", is_flag=True, help="Take every value with every other.")
@click.option("--random", type=click.IntRange(min=1), metavar="N", help="Draw N variations.")
@click.option(
    "--latin", type=click.IntRange(min=1), metavar="N", help="Draw N, as a Latin hypercube."
)
@click.option("--seed", type=click.IntRange(min=0), default=0, help="Other draws.")
@click.option(
    "--question", type=click.IntRange(min=1), metavar="N",
    help="Only the Nth chapter 'variations' of the text.",
)  # fmt: skip
@click.option(
    "-o", "--output", type=click.Path(path_type=Path),
    help="File to write instead; it ends in .csv or .parquet.",
)  # fmt: skip
@click.option(
    "--rows", type=click.IntRange(min=2), default=24, show_default=True,
    help="Rows of a table on the screen.",
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
    output: Path | None,
    step: tuple[str, ...],
    question: int | None,
    **options: Any,
) -> int:
    """Solve many variations of FILE; a table of the results on the screen, or in a file.

    Without --result the chapter's own results are shown, else the usual ones.
    """
    from circuitcheck import pipeline

    if output is not None and output.suffix not in ENDINGS:
        raise click.UsageError(f"the name of the output ends in {' or '.join(ENDINGS)}")
    target = None if output is None else target_of(output, file)
    wanted = {n: options[n] for n in ("grid", "random", "latin", "seed") if options[n]}
    values = _values(vary)
    project = pipeline.open_file(file)
    if not project.understood:
        return not_understood(project.solved())
    jobs = [Job(values, result, step, wanted)] if vary else _of_text(project, question, wanted)
    if vary and question is not None:
        raise click.UsageError("--question speaks of the text; leave --vary out")
    jobs = [job.with_results(result or project.usual_results, step) for job in jobs]
    try:
        if output is None or target is None:
            return _show(project, jobs, options)
        if len(jobs) > 1:
            raise click.UsageError("a file takes one chapter at a time; choose:  --question 1")
        swept = _run(project, target, jobs[0], options)
    except pipeline.CircuitError as error:
        complain(str(error))
        return NOT_UNDERSTOOD
    except KeyboardInterrupt:
        kept = "" if output is None else f"; the same command continues what is in {output}.parts"
        complain(f"interrupted{kept}")
        return INTERRUPTED
    _tell(output, swept)
    return NOT_SOLVED if swept.without_figures else CLEAN


@dataclass(frozen=True)
class Job:
    """One sweep: values by name, results, steps, how the values are combined, its title."""

    values: Mapping[str, Any]
    results: Sequence[str]
    steps: Sequence[str]
    wanted: Mapping[str, Any]
    title: str = ""

    def with_results(self, results: Sequence[str], steps: Sequence[str]) -> Job:
        """Give the job with these results and steps where it names none of its own."""
        return replace(self, results=self.results or results, steps=steps or self.steps)


def _of_text(project: Project, question: int | None, wanted: dict[str, Any]) -> list[Job]:
    """Give the chapters ``variations`` as jobs; what the command line says wins."""
    known = project.questions
    if not known:
        raise click.UsageError(
            "nothing is to be varied: give a --vary, or a chapter 'variations' in the text"
        )
    if question is not None and question > len(known):
        raise click.UsageError(f"the text has only {len(known)} chapters 'variations'")
    drawn = any(name in wanted for name in ("grid", "random", "latin"))
    jobs = []
    for one in known if question is None else [known[question - 1]]:
        own = {"latin": one.latin} if one.latin else {"random": one.random} if one.random else {}
        how = wanted if drawn else {**wanted, **(own or {"grid": True})}
        jobs.append(Job(one.vary, one.show, one.steps, how, one.title))
    return jobs


def _show(project: Project, jobs: list[Job], options: dict[str, Any]) -> int:
    """Solve the jobs and print their tables."""
    from circuitcheck.reports.sweep_text import write_sweep
    from circuitcheck.sweeps.gathered import MOST

    page, whole = sheet(), True
    units = options["units"] or project.circuit.units
    if units == "SI":
        raise click.UsageError("--units SI is for files; on the screen: metric or inch")
    for job in jobs:
        try:
            with _bar() as progress:
                found = project.gather(
                    job.values, results=job.results, steps=job.steps, progress=progress,
                    chunk=options["chunk"] or 0, **job.wanted,
                )  # fmt: skip
        except ValueError as error:
            raise click.UsageError(f"more than {MOST} variations: write a file with -o") from error
        write_sweep(page, found, units, job.title, options["rows"])
        whole = whole and bool(found.solved.all())
    say(page.text())
    return CLEAN if whole else NOT_SOLVED


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
    job: Job,
    options: dict[str, Any],
) -> Swept:
    from circuitcheck.sweeps.spread import SpreadError
    from circuitcheck.sweeps.store import StoreError

    if target.suffix == ".parquet":
        _need_pyarrow()
    try:
        with _bar() as progress:
            return project.sweep(
                target, job.values, results=job.results, steps=job.steps, progress=progress,
                chunk=options["chunk"] or 0, units=options["units"], afresh=options["afresh"],
                scheduler=options["scheduler"] or "", **job.wanted,
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
