"""Findings and claims as CSV for spreadsheets and as Markdown for notes and pull requests."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from circuitcheck.basics.cells import as_text
from circuitcheck.basics.findings import Finding
from circuitcheck.reports.claims import claims_table
from circuitcheck.reports.findings_text import accepted_table, count_line, not_checked_table
from circuitcheck.reports.result import Result, units_of
from circuitcheck.reports.sarif import flat
from circuitcheck.reports.tables import Table
from circuitcheck.rules import cautions

HEADS = ("file", "line", "column", "severity", "rule", "component", "port", "step", "message",
         "remedy", "source", "accepted because")  # fmt: skip


def as_csv(results: Sequence[Result]) -> str:
    """Give a line per finding, accepted ones with their reason in the last column."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEADS)
    for result in results:
        for finding in flat(result.findings):
            writer.writerow(_row(finding, ""))
        for one in result.accepted:
            writer.writerow(_row(one.finding, one.reason))
    return out.getvalue()


def _row(finding: Finding, reason: str) -> list[str]:
    place = finding.place
    cells = [
        place.file, str(place.line or ""), str(place.column or ""), finding.severity.value,
        finding.slug, finding.component, finding.port, finding.step, finding.message,
        finding.remedy, finding.source, reason,
    ]  # fmt: skip
    return list(map(as_text, cells))


def as_markdown(results: Sequence[Result]) -> str:
    """Give findings, claims and what was not checked, file by file."""
    return "\n".join(row for result in results for row in _page(result)) + "\n"


def _page(result: Result) -> Iterator[str]:
    yield f"# {_plain(result.file or 'text')}"
    yield ""
    yield f"{count_line(result)}."
    yield ""
    for finding in result.findings:
        yield from _finding(finding)
    units = units_of(result)
    tables: list[Table] = []
    if result.accepted:
        tables.append(accepted_table(result))
    if result.claims:
        tables.append(claims_table(result.claims, units))
    if result.not_checked:
        tables.append(not_checked_table(result.not_checked))
    for table in tables:
        yield from _table(table)
    if result.circuit is not None:
        yield "## Before you put your hands on a machine"
        yield ""
        for caution in cautions(len(result.not_checked)):
            if caution.always:
                yield f"- {_plain(caution.short)}"
        yield ""


def _finding(finding: Finding) -> Iterator[str]:
    place = f" ({_plain(str(finding.place))})" if finding.place.line else ""
    yield f"- **{finding.severity.value}** `{finding.slug}`{place}: {_plain(finding.message)}."
    if finding.remedy:
        yield f"  {_plain(finding.remedy)}"
    for below in finding.consequences:
        yield f"  - follows: `{below.slug}` {_plain(below.message)}"
    yield ""


def _table(table: Table) -> Iterator[str]:
    yield f"## {table.caption}"
    yield ""
    heads = [f"{c.head} {c.unit}".strip() for c in table.columns]
    yield f"| {' | '.join(heads)} |"
    yield f"|{'|'.join('---:' if c.figures else '---' for c in table.columns)}|"
    for row in table.rows:
        yield f"| {' | '.join(_plain(cell) for cell in row)} |"
    yield ""
    for note in table.notes:
        yield _plain(note)
        yield ""


def _plain(text: str) -> str:
    """Keep Markdown from reading marks in a text as its own."""
    for mark in "\\`*_|<>[]":
        text = text.replace(mark, f"\\{mark}")
    return text.replace("\n", " ")
