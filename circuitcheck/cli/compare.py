"""``circuitcheck compare``: what changed between two issues of a circuit."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli._options import UNITS
from circuitcheck.cli._output import complain, say, sheet
from circuitcheck.cli._status import CLEAN, FOUND, NOT_SOLVED, NOT_UNDERSTOOD

if TYPE_CHECKING:
    from circuitcheck.basics.findings import Finding
    from circuitcheck.circuit import Circuit
    from circuitcheck.reports.result import Result
    from circuitcheck.solver.operating import Solution


@click.command("compare", short_help="Say what changed between two issues of a circuit.")
@click.argument("before", type=click.Path(path_type=Path))
@click.argument("after", type=click.Path(path_type=Path))
@UNITS
def command(before: Path, after: Path, units: str | None) -> int:
    """Compare two issues: what changed in the text, which results moved, which findings.

    Exit status: 0 no finding gained but advice, 1 findings gained, 2 not understood, 3 a
    step not solved.
    """
    from circuitcheck import pipeline, reports
    from circuitcheck.basics.findings import Severity
    from circuitcheck.reports.comparison import write_comparison
    from circuitcheck.reports.result import units_of
    from circuitcheck.review.comparison import compare

    results = [pipeline.open_file(file).check() for file in (before, after)]
    page = sheet()
    for result in results:
        if result.circuit is None:
            reports.write_check(page, result, units)
            complain(page.text())
            return NOT_UNDERSTOOD
    found = compare(*map(_stages, results))
    write_comparison(page, found, (str(before), str(after)), units_of(results[1], units))
    say(page.text())
    if not results[1].solved:
        return NOT_SOLVED
    worse = any(finding.severity is not Severity.ADVICE for finding in found.gained)
    return FOUND if worse else CLEAN


def _stages(result: Result) -> tuple[Circuit, Solution, list[Finding]]:
    if result.circuit is None or result.solution is None:
        raise click.UsageError(f"{result.file} was not solved")
    return result.circuit, result.solution, list(result.findings)
