"""``circuitcheck live``: text, findings, drawing and figures side by side in the browser."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli._options import FILE
from circuitcheck.cli._output import say
from circuitcheck.cli._status import CLEAN

EPILOG = """\b
The page is served on this machine only, to whoever has the address that is
printed. Nothing is sent anywhere. The file is saved when you say so.
Needs starlette and uvicorn (pip install 'circuitcheck[live]').
"""


@click.command("live", short_help="Work on a circuit in the browser.", epilog=EPILOG)
@FILE
@click.option("--port", type=click.IntRange(0, 65535), help="Port; 0 for any that is free.")
@click.option("--no-browser", is_flag=True, help="Only print the address of the page.")
def command(file: Path, port: int | None, no_browser: bool) -> int:
    """Show FILE as a page: text, findings, drawing, figures that can be turned."""
    if not file.is_file():
        raise click.UsageError(f"there is no file {file}")
    try:
        from circuitcheck.live.server import PortTakenError, serve
    except ImportError as problem:
        raise click.UsageError(
            "the page needs starlette and uvicorn: pip install 'circuitcheck[live]'"
        ) from problem
    from circuitcheck.live.shelf import OffShelfError

    def told(address: str) -> None:
        say(f"{file} is shown at\n  {address}\nCtrl-C ends it.\n")

    try:
        serve(file, port, not no_browser, told)
    except (PortTakenError, OffShelfError) as problem:
        raise click.UsageError(str(problem)) from problem
    return CLEAN
