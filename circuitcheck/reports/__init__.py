"""Forms of the answer: text for people, JSON for programs, a page to print.

Rooms behind these functions are loaded when they are called.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from circuitcheck.basics.quantities import System
    from circuitcheck.reports.page_blocks import Drawn
    from circuitcheck.reports.result import Result
    from circuitcheck.reports.tables import Table
    from circuitcheck.reports.terminal import Sheet
    from circuitcheck.studies.duty import Duty

__all__ = [
    "as_html",
    "as_json",
    "as_listed",
    "as_pdf",
    "as_text",
    "count_line",
    "tables_of",
    "write_check",
    "write_report",
    "write_solve",
]


def write_solve(sheet: Sheet, result: Result, units: System | None = None) -> None:
    """Write the operating points, or the mistakes of a text that is not understood."""
    from circuitcheck.reports import findings_text, solution_text
    from circuitcheck.reports.result import units_of

    if result.circuit is None:
        write_check(sheet, result, units)
        return
    shown = units_of(result, units)
    solution_text.write_title(sheet, result, result.circuit, shown)
    findings_text.write_findings(sheet, result, shown)
    solution_text.write_solution(sheet, result, shown)
    solution_text.write_background(sheet, result, shown)
    findings_text.write_cautions(sheet, result)


def write_check(sheet: Sheet, result: Result, units: System | None = None) -> None:
    """Write findings, claims, what was not checked, counts and cautions."""
    from circuitcheck.reports import findings_text
    from circuitcheck.reports.result import units_of

    findings_text.write_findings(sheet, result, units_of(result, units))
    sheet.line()
    sheet.paragraph(f"{result.file or 'text'}: {count_line(result)}", style="bold")
    if result.circuit is not None:
        findings_text.write_cautions(sheet, result)


def write_report(sheet: Sheet, result: Result, units: System | None = None) -> None:
    """Write everything: findings, operating points, what they rest on, cautions."""
    from circuitcheck.reports import findings_text, solution_text
    from circuitcheck.reports.result import units_of

    if result.circuit is None:
        write_check(sheet, result, units)
        return
    shown = units_of(result, units)
    solution_text.write_title(sheet, result, result.circuit, shown)
    sheet.line()
    sheet.paragraph(count_line(result), style="bold")
    findings_text.write_findings(sheet, result, shown)
    solution_text.write_solution(sheet, result, shown)
    solution_text.write_background(sheet, result, shown)
    findings_text.write_cautions(sheet, result, whole=True)


def count_line(result: Result) -> str:
    """Count findings and checks that were not run, in one line."""
    from circuitcheck.reports import findings_text

    return findings_text.count_line(result)


def as_text(result: Result, units: System | None = None) -> str:
    """Give the whole report as plain text, at most 80 columns wide."""
    from circuitcheck.reports.terminal import Sheet

    sheet = Sheet()
    write_report(sheet, result, units)
    return sheet.text()


def as_json(result: Result) -> str:
    """Give everything in SI as JSON; the form is described in ``json_format.md``."""
    from circuitcheck.reports import result_json

    return result_json.dump(result)


def as_listed(results: Sequence[Result], form: str) -> str:
    """Give the findings of files as "sarif", "junit", "csv" or "markdown"."""
    from circuitcheck.reports import junit, lists, sarif

    write = {
        "sarif": sarif.as_sarif,
        "junit": junit.as_junit,
        "csv": lists.as_csv,
        "markdown": lists.as_markdown,
    }
    return write[form](results)


def as_html(
    result: Result,
    drawings: Sequence[Drawn],
    units: System | None = None,
    numbers: str = "folded",
    paper: str = "",
    duty: Duty | str | None = None,
) -> str:
    """Give the whole report as one page that needs no other file.

    ``numbers``: what says how each number was made is "folded", "open" or "left out";
    ``paper`` is "A4" or "letter". ``duty`` is the duty cycle, or why there is none.
    """
    from circuitcheck.reports import page
    from circuitcheck.reports.result import units_of

    material = page.Material(result, drawings, units_of(result, units), numbers, duty)
    return page.render(material, paper)


def as_pdf(page: str) -> bytes:
    """Give such a page as PDF; raises `page_pdf.PdfMissingError` where that is not installed."""
    from circuitcheck.reports import page_pdf

    return page_pdf.as_pdf(page)


def tables_of(result: Result, step: str = "") -> dict[str, Table]:
    """Give the tables of the report by their captions, or those of one step.

    Raises ``KeyError`` where there is no such step.
    """
    from circuitcheck.reports import listed_tables

    return listed_tables.of_step(result, step) if step else listed_tables.of_circuit(result)
