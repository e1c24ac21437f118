"""The page of the manual on commands, made from their help."""

from __future__ import annotations

from collections.abc import Iterator

import click

from circuitcheck.cli import COMMANDS, group


def commands() -> str:
    """Give every command with its own help, in Markdown."""
    return "\n".join(_pages())


def _pages() -> Iterator[str]:
    context = group.make_context("circuitcheck", [], resilient_parsing=True)
    yield _help(group, context)
    for name in COMMANDS:
        command = group.get_command(context, name)
        assert command is not None
        inner = command.make_context(name, [], parent=context, resilient_parsing=True)
        yield f"## {name}\n"
        yield _help(command, inner)


def _help(command: click.Command, context: click.Context) -> str:
    return f"```text\n{command.get_help(context)}\n```\n"
