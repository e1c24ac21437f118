"""``circuitcheck lsp``: the language server for editors."""

from __future__ import annotations

import logging
import os

import click

TRACE = "CIRCUITCHECK_TRACE"


@click.command("lsp", short_help="Serve editors: findings, completion, figures while writing.")
def command() -> None:
    """Serve an editor over the standard streams, in the language server protocol.

    It is started by the editor (shared/editors has one extension). Nothing leaves the machine.
    """
    try:
        from circuitcheck.lsp.start import server
    except ModuleNotFoundError as error:
        if (error.name or "").split(".")[0] not in ("pygls", "lsprotocol"):
            raise
        message = "the language server needs pygls: pip install 'circuitcheck[editor]'"
        raise click.UsageError(message) from error
    if not os.environ.get(TRACE):
        # what is refused is told to the editor; the stack behind it is of no use there
        logging.getLogger("pygls").setLevel(logging.CRITICAL)
    server.start_io()
