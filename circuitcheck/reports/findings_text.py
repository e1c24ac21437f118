"""Findings as text, as people read them: where, what, the line, why, what to do, source."""

from __future__ import annotations

from circuitcheck.basics.carets import excerpt
from circuitcheck.basics.findings import Finding, NotChecked, Severity
from circuitcheck.reports.result import Result
from circuitcheck.reports.tables import Column, Table, table
from circuitcheck.reports.terminal import Sheet

COLOURS = {Severity.ERROR: "bold red", Severity.WARNING: "yellow", Severity.ADVICE: "cyan"}
UNDER = " " * 7
"""Lines up with the source line and its caret."""
PLURALS = {
    Severity.ERROR: ("error", "errors"),
    Severity.WARNING: ("warning", "warnings"),
    Severity.ADVICE: ("piece of advice", "pieces of advice"),
}


def write_finding(sheet: Sheet, finding: Finding, text: str) -> None:
    """Write one finding; ``text`` is the circuit text it speaks of."""
    place = finding.place
    where = f"{place}: " if place.line else ""
    sheet.line()
    sheet.paragraph(
        f"{where}{finding.severity.value}: {finding.message} [{finding.slug}]",
        rest="    ",
        style=COLOURS[finding.severity],
    )
    if place.line:
        for row in excerpt(text, place.line, place.column, place.end_line, place.end_column):
            sheet.line(row)
    for note in finding.notes:
        line = f"line {note.place.line}: " if note.place.line else ""
        sheet.paragraph(f"note: {line}{note.message}", UNDER, UNDER + " " * 6)
    if finding.step and f"step {finding.step}" not in finding.message:
        sheet.paragraph(f"step: {finding.step}", UNDER, UNDER)
    for word, said in (("why", finding.why), ("do", finding.remedy), ("source", finding.source)):
        if said:
            sheet.paragraph(f"{word}: {said}", UNDER, UNDER + " " * (len(word) + 2))
    if finding.consequences:
        sheet.line(f"{UNDER}follows from it:")
    for below in finding.consequences:
        sheet.paragraph(f"- {below.message} [{below.slug}]", UNDER + "  ", UNDER + "    ")


def count_line(result: Result) -> str:
    """Count findings and checks that were not run, in one line."""
    counts = []
    for severity, (one, many) in PLURALS.items():
        number = result.count(severity)
        counts.append(f"{number or 'no'} {one if number == 1 else many}")
    if result.circuit is None:
        return ", ".join(counts[:1]) + "; the text is not understood, nothing was computed"
    missing = len(result.not_checked)
    checks = f"{missing or 'no'} {'check' if missing == 1 else 'checks'} not run for want of data"
    return f"{', '.join(counts)}; {checks}"


def not_checked_table(not_checked: tuple[NotChecked, ...]) -> Table:
    """Rules that could not be judged, with the figure that is missing; like ones together."""
    parts: dict[tuple[str, str], list[str]] = {}
    for left in not_checked:
        parts.setdefault((left.slug, left.missing), []).append(left.component)
    return table(
        "Not checked for want of data",
        (Column("Check"), Column("On"), Column("Missing")),
        (
            (slug, ", ".join(dict.fromkeys(filter(None, names))), missing)
            for (slug, missing), names in parts.items()
        ),
    )
