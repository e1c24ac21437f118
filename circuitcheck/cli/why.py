"""``circuitcheck why``: what sets a result, and the formulas from there to the figure."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import FORM, STEP, UNITS, only
from circuitcheck.cli._output import complain, not_understood, say, sheet
from circuitcheck.cli._status import CLEAN, NOT_SOLVED, NOT_UNDERSTOOD

SUFFIX = ".hyc"


@click.command("why", short_help="Say what sets a result, with the formulas.")
@click.argument("words", nargs=-1, required=True, metavar="[FILE] RESULT")
@STEP
@UNITS
@FORM
def command(words: tuple[str, ...], step: str | None, units: str | None, form: str) -> int:
    """Walk from a RESULT of FILE back to what sets it: C1 speed, C1.speed, P1 P pressure, heat.

    FILE may be left out in a folder that has one circuit only.
    """
    from circuitcheck import pipeline
    from circuitcheck.basics.refusal import CircuitError
    from circuitcheck.reports import why_text
    from circuitcheck.reports.result import units_of

    file, result = _parted(words)
    project = pipeline.open_file(file)
    solved = project.solved()
    if solved.circuit is None:
        return not_understood(solved, units)
    only(solved, step)
    steps = [point.step.name for point in solved.points]
    if step is None and len(steps) > 1:
        raise click.UsageError(f"in which step?  --step with one of: {', '.join(steps)}")
    try:
        found = project.why(result, step or "")
    except CircuitError as problem:
        complain(str(problem))
        return NOT_UNDERSTOOD
    if form == "json":
        say(why_text.as_json(found))
    else:
        page = sheet()
        why_text.write_why(page, found, units_of(solved, units))
        say(page.text())
    return CLEAN if found.solved else NOT_SOLVED


def _parted(words: tuple[str, ...]) -> tuple[Path, str]:
    """Tell the file from the words of the result; without a file the only one of the folder."""
    first = Path(words[0])
    if first.suffix == SUFFIX or first.is_file():
        if len(words) == 1:
            raise click.UsageError(f"which result of {first}?  For example:  C1 speed")
        return first, " ".join(words[1:])
    here = sorted(Path().glob(f"*{SUFFIX}"))
    if len(here) != 1:
        names = ", ".join(path.name for path in here[:5])
        there = f"this folder has {len(here)}: {names}" if here else "there is none in this folder"
        raise click.UsageError(f"name the circuit before '{words[0]}'; {there}")
    return here[0], " ".join(words)
