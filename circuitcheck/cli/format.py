"""``circuitcheck format``: circuit texts laid out in one way."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._output import complain, say, write_file
from circuitcheck.cli._status import CLEAN, FOUND, NOT_UNDERSTOOD, worst


@click.command("format", short_help="Lay circuit texts out: indents, columns, blanks.")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--check", "only", is_flag=True, help="Write nothing; status 1 if a file would change."
)
def command(files: tuple[Path, ...], only: bool) -> int:
    """Lay the circuit texts in FILES out in one way; what they say and comments stay.

    A file is replaced whole or not at all; one that is not understood is left as it is.
    """
    return worst([_file(file, only) for file in files])


def _file(file: Path, only: bool) -> int:
    from circuitcheck import pipeline
    from circuitcheck.basics.carets import render
    from circuitcheck.editing.formatting import formatted
    from circuitcheck.language.bounds import MOST_BYTES
    from circuitcheck.language.plain import UnreadableError, plain_text

    try:
        source = plain_text(file, MOST_BYTES)
        text = formatted(pipeline.parse(source, str(file), file.parent), source)
    except UnreadableError as problem:
        complain(render(problem.finding(str(file)), problem.text))
        return NOT_UNDERSTOOD
    except pipeline.CircuitError as problem:
        complain(f"{problem}\n\n{file}: not understood, left as it is")
        return NOT_UNDERSTOOD
    if text == source:
        return CLEAN
    if not only:
        write_file(file, text.encode("utf-8"), None)
    say(f"{file}: {'would be laid out anew' if only else 'laid out anew'}\n")
    return FOUND if only else CLEAN
