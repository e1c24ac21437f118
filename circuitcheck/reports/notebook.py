"""How operating points, findings, tables and studies show themselves in a notebook.

Each form gives a piece of HTML that needs no other file and takes its colours from the
notebook, light or dark, and the same as text of 80 columns.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from circuitcheck.basics.carets import excerpt
from circuitcheck.basics.findings import Finding
from circuitcheck.basics.quantities import System, show
from circuitcheck.basics.shown import shows
from circuitcheck.reports.claims import claims_table
from circuitcheck.reports.findings_text import (
    accepted_table,
    count_line,
    not_checked_table,
    write_finding,
)
from circuitcheck.reports.found import Findings
from circuitcheck.reports.result import Result, folded, units_of
from circuitcheck.reports.step_tables import oil_line, point_tables, pressures_table, steps_table
from circuitcheck.reports.tables import Table
from circuitcheck.reports.templates import template
from circuitcheck.reports.terminal import Sheet
from circuitcheck.reports.two_points import two_points_lines
from circuitcheck.rules import cautions
from circuitcheck.solver.operating import OperatingPoint, Solution

if TYPE_CHECKING:
    pass

CAUTIONS = "Before you put your hands on a machine"
SAFE = "No findings. That does not mean that the machine is safe."


@dataclass(frozen=True)
class Box:
    """A finding with those like it, and the text in which its place lies."""

    finding: Finding
    alike: tuple[Finding, ...]
    text: str

    @property
    def excerpt(self) -> str:
        place = self.finding.place
        if not (place.line and self.text):
            return ""
        span = (place.line, place.column, place.end_line, place.end_column)
        return "\n".join(excerpt(self.text, *span))


@dataclass(frozen=True)
class Piece:
    """What is shown: heading, lines, what must not be overlooked, boxes, tables, cautions.

    ``folded`` are tables behind a line that opens them.
    """

    title: str = ""
    said: Sequence[str] = ()
    strong: Sequence[str] = ()
    boxes: Sequence[Box] = ()
    tables: Sequence[Table] = ()
    folded: Sequence[tuple[str, Sequence[Table]]] = ()
    cautions: Sequence[str] = ()

    @property
    def html(self) -> str:
        return template("notebook.html").render(piece=self, heading=CAUTIONS)

    @property
    def text(self) -> str:
        sheet = Sheet()
        if self.title:
            sheet.heading(self.title)
        for line in (*self.strong, *self.said):
            sheet.paragraph(line)
        for box in self.boxes:
            write_finding(sheet, box.finding, box.text, box.alike)
        for made in self.tables:
            sheet.table(made)
        for summary, tables in self.folded:
            sheet.heading(summary)
            for made in tables:
                sheet.table(made)
        if self.cautions:
            sheet.section(CAUTIONS)
        for line in self.cautions:
            sheet.paragraph(line, "  - ", "    ")
        return sheet.text()


@dataclass(frozen=True)
class Written:
    """What is shown as it stands on a terminal."""

    write: Callable[[Sheet], None]

    @property
    def text(self) -> str:
        sheet = Sheet()
        self.write(sheet)
        return sheet.text()

    @property
    def html(self) -> str:
        return template("notebook.html").render(piece=Piece(), heading=CAUTIONS, written=self.text)


def forms() -> None:
    """Say how everything is shown that a project gives; said once, before it is given."""
    shows(Solution, solution)
    shows(OperatingPoint, operating_point)
    shows(Findings, findings)
    shows(Result, result)
    shows(Table, lambda made: Piece(tables=[made]))


def result(of: Result) -> Piece:
    """Show what a check gives: counts, findings, claims, what was not checked, cautions."""
    tables = [accepted_table(of)] if of.accepted else []
    if of.claims:
        tables.append(claims_table(of.claims, units_of(of)))
    left = len(of.not_checked)
    return Piece(
        title=of.circuit.title if of.circuit is not None else "",
        said=[count_line(of)],
        boxes=_boxes(of.findings),
        tables=tables,
        folded=[(f"Checks not run: {left}", [not_checked_table(of.not_checked)])] if left else [],
        cautions=_cautions(left) if of.circuit is not None else (),
    )


def findings(of: Findings) -> Piece:
    """Show findings, each with its line of the text, why, and what to do."""
    return Piece(said=[] if of else [SAFE], boxes=_boxes(of))


def solution(of: Solution) -> Piece:
    """Show all steps side by side, and each step folded away below."""
    circuit, units = of.circuit, of.circuit.units
    whole = Result("", "", circuit, Findings(), solution=of)
    oils = dict.fromkeys(oil_line(point, circuit.oil.name, units) for point in of)
    return Piece(
        title=circuit.title,
        said=[*oils],
        strong=[finding.message for finding in of.findings],
        tables=[steps_table(whole, units), pressures_table(whole, units)],
        folded=[(f"Step {p.step.name}", point_tables(p, units)) for p in of if p.success],
        cautions=_cautions(),
    )


def operating_point(of: OperatingPoint) -> Piece:
    """Show every part in one step, or why the step has no figures."""
    title = f"Step {of.step.name}"
    if not of.success:
        return Piece(title=title, strong=[f"Not solved: {of.message}."])
    return Piece(
        title=title,
        said=[_powers(of, of.units)],
        strong=two_points_lines(of, of.units),
        tables=point_tables(of, of.units),
        cautions=_cautions(),
    )


def _powers(of: OperatingPoint, units: System) -> str:
    totals = of.totals
    brought, useful, lost = (
        show(power, "power", units) for power in (totals.input, totals.useful, totals.loss)
    )
    return f"{brought} brought in, {useful} useful, {lost} lost as heat"


def _boxes(of: Findings) -> list[Box]:
    return [Box(one, alike, of.texts.get(one.place.file, "")) for one, alike in folded(of)]


def _cautions(not_checked: int | None = None) -> list[str]:
    """Short cautions; the one on checks not run only where checks were run."""
    always = [one for one in cautions(not_checked or 0) if one.always]
    return [one.short for one in always if not_checked is not None or one.slug != "defaults"]
