"""Findings as text, as people read them: where, what, the line, why, what to do, source."""

from __future__ import annotations

from circuitcheck.basics.carets import excerpt
from circuitcheck.basics.findings import Finding, NotChecked, Severity
from circuitcheck.basics.quantities import System
from circuitcheck.reports.claims import claims_table
from circuitcheck.reports.result import Result, folded
from circuitcheck.reports.tables import Column, Table, table
from circuitcheck.reports.terminal import Sheet

COLOURS = {Severity.ERROR: "bold red", Severity.WARNING: "yellow", Severity.ADVICE: "cyan"}
UNDER = " " * 7
"""Lines up with the source line and its caret."""
PLURALS = {
    Severity.ERROR: ("no errors", "1 error", "{} errors"),
    Severity.WARNING: ("no warnings", "1 warning", "{} warnings"),
    Severity.ADVICE: ("no advice", "1 piece of advice", "{} pieces of advice"),
}


def write_finding(
    sheet: Sheet, finding: Finding, text: str, alike: tuple[Finding, ...] = ()
) -> None:
    """Write one finding; ``text`` is the circuit text it speaks of, ``alike`` more of its kind."""
    place = finding.place
    shown = bool(place.line and text)  # a file that could not be read has no line to show
    where = f"{place}: " if shown else f"{place.file}: " if place.file else ""
    sheet.line()
    sheet.paragraph(
        f"{where}{finding.severity.value}: {finding.message} [{finding.slug}]",
        rest="    ",
        style=COLOURS[finding.severity],
    )
    if shown:
        for row in excerpt(text, place.line, place.column, place.end_line, place.end_column):
            sheet.line(row)
    for other in alike:
        sheet.paragraph(f"also: {other.message}", UNDER, UNDER + " " * 6)
    for note in finding.notes:
        file = f"{note.place.file}, " if note.place.file != place.file else ""
        line = f"{file}line {note.place.line}: " if note.place.line else ""
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
    for severity, words in PLURALS.items():
        number = result.count(severity)
        counts.append(words[min(number, 2)].format(number))
    if result.circuit is None:
        return ", ".join(counts[:1]) + "; the text is not understood, nothing was computed"
    if result.accepted:
        counts.append(f"{len(result.accepted)} accepted")
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


def accepted_table(result: Result) -> Table:
    """Findings that the text accepts, worst first, with the reason given."""
    return table(
        "Accepted in the text; whoever signs it answers for it",
        (Column("Weight"), Column("Finding"), Column("Line"), Column("Because")),
        (
            (
                one.finding.severity.value,
                f"{one.finding.message} [{one.finding.slug}]",
                str(one.finding.place.line or ""),
                one.reason,
            )
            for one in result.accepted
        ),
    )


def write_findings(sheet: Sheet, result: Result, units: System) -> None:
    """Write what was accepted, all findings, the claims, then what was not checked."""
    if result.accepted:
        sheet.table(accepted_table(result))
    for finding, alike in folded(result.findings):
        write_finding(sheet, finding, result.text_of(finding.place), alike)
    if result.claims:
        sheet.table(claims_table(result.claims, units))
    if result.not_checked:
        sheet.table(not_checked_table(result.not_checked))


def write_cautions(sheet: Sheet, result: Result, whole: bool = False) -> None:
    """Write what everybody must be told who works from the figures."""
    from circuitcheck.rules import cautions

    sheet.section("Before you put your hands on a machine")
    for caution in cautions(len(result.not_checked)):
        if whole:
            sheet.paragraph(f"{caution.title}. {caution.long}", "  - ", "    ")
        elif caution.always:
            sheet.paragraph(caution.short, "  - ", "    ")
