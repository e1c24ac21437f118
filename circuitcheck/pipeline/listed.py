"""A circuit with further claims or readings from a CSV table beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.places import Place
from circuitcheck.circuit.model import Claim
from circuitcheck.language.plain import UnreadableError, plain_text
from circuitcheck.language.sentences import plain_newlines
from circuitcheck.pipeline.project import Project, parse
from circuitcheck.review.listed import listed

MOST_BYTES = 2_000_000
"""No table of claims or readings is larger; own choice."""


def with_table(project: Project, table: Path, chapter: str) -> Project:
    """Give a project with the claims or readings of a table as a further chapter.

    What is found on them names the table and its line.

    Raises
    ------
    ValueError
        If the table is none, or cannot be read; the message is for people.
    """
    try:
        rows = plain_newlines(plain_text(table, MOST_BYTES, pipes=True))
    except UnreadableError as wrong:
        at = f"line {wrong.line}: " if wrong.width else ""
        raise ValueError(f"{at}{wrong.message}") from wrong
    more = listed(rows, chapter)
    text = project.text if project.text.endswith("\n") else f"{project.text}\n"
    made = parse(text + more.text, project.file, Path(project.file).resolve().parent)
    above, lines = text.count("\n"), rows.splitlines()

    def moved(place: Place) -> Place:
        if place.file != project.file or place.line <= above:
            return place
        line = more.rows[min(place.line - above, len(more.rows)) - 1]
        return Place(str(table), line, 1, line, len(lines[line - 1]) + 1)

    made.texts[str(table)] = rows
    made.mistakes = tuple(_moved(finding, moved) for finding in made.mistakes)
    if made.understood:
        for claims in (made.circuit.claims, made.circuit.readings):
            claims[:] = [_placed(claim, moved) for claim in claims]
    return made


def _moved(finding: Finding, moved: Callable[[Place], Place]) -> Finding:
    notes = tuple(replace(note, place=moved(note.place)) for note in finding.notes)
    return replace(finding, place=moved(finding.place), notes=notes)


def _placed(claim: Claim, moved: Callable[[Place], Place]) -> Claim:
    figure = replace(claim.figure, place=moved(claim.figure.place))
    return replace(claim, place=moved(claim.place), figure=figure)
