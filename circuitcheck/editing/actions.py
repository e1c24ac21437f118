"""What a finding proposes, as a change of the text."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from circuitcheck.basics.findings import Finding
from circuitcheck.editing.renaming import Change
from circuitcheck.language.sentences import BLANK

COMMA_MISSING = "comma-missing"


class Action(NamedTuple):
    """A change that puts a finding right, and what it is called."""

    title: str
    change: Change
    finding: Finding


def action(finding: Finding, source: str) -> Action | None:
    """Give what puts a finding about ``source`` right; None if it takes more than a word."""
    place = finding.place
    if finding.slug == COMMA_MISSING:
        row = source.split("\n")[place.line - 1][: place.column - 1]
        column = len(row.rstrip(BLANK)) + 1
        if column == 1:
            return None
        change = Change(replace(place, end_line=place.line, column=column, end_column=column), ",")
        return Action("put a comma", change, finding)
    text = finding.instead
    if text is None:
        return None
    if finding.slug == "unknown-step" and " " in text:
        text = f'"{text}"'
    title = f"write {text.strip()}" if text.strip() else "write a space" if text else "take it away"
    return Action(title, Change(place, text), finding)
