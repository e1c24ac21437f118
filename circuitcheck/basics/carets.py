"""A finding as people read it: where, what, the line with a caret, what to write."""

from __future__ import annotations

import textwrap

from circuitcheck.basics.findings import Finding

_NUMBER, _MARGIN = 6, " " * 7
_WIDEST = 100
"""Longer lines are shown in part, with the caret in sight."""


def render(finding: Finding, text: str) -> str:
    """Give a finding with the line of ``text`` it speaks of and a caret under the place.

    ``text`` is the text as it was read. A tab counts as one column and is copied into the
    line of the caret, so that both stand alike whatever a tab is wide. A finding that
    stands in no text has no line. Inside a block it is said who uses the block, and where.
    """
    place = finding.place
    parts = [f"{place}: {finding.message}" if place.line else finding.message]
    if place.line and text:
        parts += excerpt(text, place.line, place.column, place.end_line, place.end_column)
    for use in place.uses():
        parts.append(f"{_MARGIN}in {use.name} ({use.place})")
    for line in finding.remedy.splitlines():
        parts += textwrap.wrap(
            line, 80, initial_indent=_MARGIN, subsequent_indent=_MARGIN, break_long_words=False
        )
    return "\n".join(parts)


def excerpt(text: str, line: int, column: int, end_line: int, end_column: int) -> list[str]:
    """Give the line and the line of carets below it; empty where the text ends before."""
    rows = text.split("\n")
    if line > len(rows):
        return []
    row = rows[line - 1]
    end = end_column if end_line == line else len(row.rstrip()) + 1
    width = max(1, end - column)
    row, column, width = _in_sight(row, column, width)
    indent = "".join("\t" if character == "\t" else " " for character in row[: column - 1])
    shown = "".join(c if c.isprintable() or c == "\t" else "\N{REPLACEMENT CHARACTER}" for c in row)
    return [
        f"{line:{_NUMBER}} | {shown}".rstrip(),
        f"{'':{_NUMBER}} | {indent}{'^' * width}",
    ]


def _in_sight(row: str, column: int, width: int) -> tuple[str, int, int]:
    """Cut a very long line down to what stands round the caret."""
    if len(row) <= _WIDEST:
        return row, column, width
    left = max(0, min(column - 1 - _WIDEST // 3, len(row) - _WIDEST))
    right = left + _WIDEST
    before, after = ("... " if left else ""), (" ..." if right < len(row) else "")
    column = column - left + len(before)
    return before + row[left:right] + after, column, min(width, _WIDEST + len(before) - column + 1)
