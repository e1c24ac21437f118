"""The command line: one file per command, loaded when it is called."""

from __future__ import annotations

import importlib
import io
import os
import sys
from collections.abc import Sequence
from typing import NoReturn

import click

from circuitcheck import __version__
from circuitcheck.cli._status import FAULT, INTERRUPTED

COMMANDS = (
    "check",
    "solve",
    "sweep",
    "sensitivity",
    "size",
    "spread",
    "variants",
    "duty",
    "curves",
    "draw",
    "report",
    "ladder",
    "startup",
    "diagnose",
    "compare",
    "why",
    "format",
    "lsp",
    "live",
    "explain",
)
TRACE = "CIRCUITCHECK_TRACE"


class Commands(click.Group):
    """The commands by name, each in the module of that name."""

    # signatures are those of click, which hands over its context
    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        return list(COMMANDS)

    def get_command(
        self,
        ctx: click.Context,  # noqa: ARG002
        cmd_name: str,
    ) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = importlib.import_module(f"circuitcheck.cli.{cmd_name}").command
        return command


@click.group(
    cls=Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
    epilog="Exit status: 0 nothing wrong, 1 findings of severity error, 2 not understood, "
    "3 a step not solved, 70 a fault of circuitcheck.",
)
@click.version_option(__version__, prog_name="circuitcheck")
def group() -> None:
    """Check hydraulic circuits written as text and compute their operating points."""


def main(args: Sequence[str] | None = None) -> NoReturn:
    """Run the command line and end the program with its exit status."""
    for stream in (sys.stdout, sys.stderr):
        # a terminal that lacks a letter shows a question mark instead of ending the program
        getattr(stream, "reconfigure", lambda **_: None)(errors="replace")
    sys.exit(_run(args))


def _run(args: Sequence[str] | None) -> int:
    try:
        status = group.main(args, prog_name="circuitcheck", standalone_mode=False)
    except click.ClickException as error:
        return _refused(error)
    except (click.Abort, KeyboardInterrupt):
        return INTERRUPTED
    except Exception as error:  # the last stop before the person at the keyboard
        if isinstance(error, OSError) and error.filename is None:  # of a stream, not a file
            return _unheard(error)
        if os.environ.get(TRACE):
            raise
        return _fault(error)
    return status if isinstance(status, int) else 0


def _refused(error: click.ClickException) -> int:
    """Say what a command refuses, with its usage where it was called in a wrong way."""
    from circuitcheck.cli._output import complain

    told = io.StringIO()
    error.show(told)
    complain(told.getvalue().rstrip("\n"))
    return error.exit_code


def _unheard(error: OSError) -> int:
    """Deal with help or a version that cannot be printed."""
    from circuitcheck.cli._output import not_read

    try:
        not_read(error)
    except click.ClickException as refusal:
        return _refused(refusal)
    return 0


def _fault(error: Exception) -> int:
    from circuitcheck.cli._output import complain

    complain(
        f"circuitcheck: this is a fault of circuitcheck, not of your text:\n"
        f"  {type(error).__name__}: {error}\n"
        f"Please report it together with the text that was read. To see where it\n"
        f"happened, run the command again with {TRACE}=1 in the environment."
    )
    return FAULT
