"""Where answers go: the terminal, a pipe that may close early, a file written in one go."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

import click

from circuitcheck.basics.writing import write_whole
from circuitcheck.cli._status import NOT_UNDERSTOOD
from circuitcheck.reports.terminal import NARROW, Sheet

if TYPE_CHECKING:
    from circuitcheck.reports.result import Result

WIDEST = 110
"""Wider terminals gain nothing; lines become hard to follow."""


def sheet() -> Sheet:
    """Give a sheet that fits where the answer goes: colour and width of a terminal, or none."""
    if sys.stdout is None or not sys.stdout.isatty():
        return Sheet()
    width = min(shutil.get_terminal_size((NARROW, 24)).columns, WIDEST)
    return Sheet(width, colour="NO_COLOR" not in os.environ)


def say(text: str) -> None:
    """Print an answer. A reader that has seen enough (``| head``) is no fault.

    Raises `NotWritten` where the answer goes to a disk that is full or the like.
    """
    if sys.stdout is None:  # closed by who called: circuitcheck ... >&-
        raise refused("the answer", "the output is closed")
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except OSError as error:
        not_read(error)


def not_read(error: OSError) -> None:
    """Take it that an answer is not read to its end; `NotWritten` unless its reader stopped."""
    _send_nowhere(sys.stdout)
    if not isinstance(error, BrokenPipeError):
        raise refused("the answer", error) from error


def _send_nowhere(stream: TextIO) -> None:
    """Let what is still to come, and Python's own last flush, go nowhere."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, stream.fileno())
    os.close(nowhere)


def complain(text: str) -> None:
    """Print what is not the answer: to the second stream, so that pipes stay clean."""
    try:
        click.echo(text, err=True)
    except OSError:  # there is nobody to tell; the exit status says it
        _send_nowhere(sys.stderr)


def not_understood(result: Result, units: str | None = None) -> int:
    """Print what is wrong with a text that gives no answer; give the exit status."""
    from circuitcheck import reports

    page = sheet()
    reports.write_check(page, result, units)
    complain(page.text())
    return NOT_UNDERSTOOD


def write_file(path: Path, content: str | bytes, read: Path | None) -> None:
    """Write a file whole or not at all; never over the circuit that was ``read``.

    Raises `NotWritten`, with a message for people, where it cannot be written.
    """
    target = target_of(path, read)
    try:
        if target.exists() and not target.is_file():  # a device or a pipe
            target.write_bytes(_coded(content))
            return
        write_whole(target, _coded(content))
    except OSError as error:
        raise refused(path, error) from error


def target_of(path: Path, read: Path | None) -> Path:
    """Give where a file is to be written; raises `NotWritten` where it cannot be."""
    target = path.resolve()
    if read is not None and target == read.resolve():
        raise refused(path, "it is the circuit itself; choose another name")
    if target.is_dir():
        raise refused(path, "it is a folder; add the name of a file")
    if not target.parent.is_dir():
        raise refused(path, f"there is no folder {path.parent}")
    return target


def _coded(content: str | bytes) -> bytes:
    # the name of a file may hold bytes that are no letters; they become question marks
    return content.encode("utf-8", "replace") if isinstance(content, str) else content


class NotWritten(click.ClickException):
    """A file that cannot be written; the message says why."""

    exit_code = NOT_UNDERSTOOD


def refused(what: object, why: str | OSError) -> NotWritten:
    """Give the error that something cannot be written."""
    if isinstance(why, OSError):
        why = (why.strerror or str(why)).lower()
    return NotWritten(f"{what} cannot be written: {why}")
