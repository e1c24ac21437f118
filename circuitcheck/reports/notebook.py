"""How circuits, operating points, findings and tables show themselves in a notebook.

Each form gives a piece of HTML that needs no other file and takes its colours from the
notebook, light or dark.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from circuitcheck.basics.carets import excerpt
from circuitcheck.basics.findings import Finding
from circuitcheck.basics.folders import PACKAGE
from circuitcheck.basics.quantities import System, show
from circuitcheck.basics.shown import shows
from circuitcheck.reports.claims import claims_table
from circuitcheck.reports.findings_text import accepted_table, count_line, not_checked_table
from circuitcheck.reports.found import Findings
from circuitcheck.reports.result import Result, folded, units_of
from circuitcheck.reports.step_tables import oil_line, point_tables, pressures_table, steps_table
from circuitcheck.reports.tables import Table
from circuitcheck.reports.two_points import two_points_lines
from circuitcheck.rules import cautions
from circuitcheck.solver.operating import OperatingPoint, Solution

if TYPE_CHECKING:
    from jinja2 import Template

SAFE = "No findings. That does not mean that the machine is safe."


@dataclass(frozen=True)
class Box:
    """A finding with those like it, and its line of the text with a caret."""

    finding: Finding
    alike: tuple[Finding, ...]
    excerpt: str


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
        return _template().render(piece=self)


def forms() -> None:
    """Say how everything is shown that a project gives; said once, before it is given."""
    shows(Solution, solution)
    shows(OperatingPoint, operating_point)
    shows(Findings, findings)
    shows(Result, result)
    shows(Table, lambda made: Piece(tables=[made]).html)


def result(of: Result) -> str:
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
    ).html


def findings(of: Findings) -> str:
    """Show findings, each with its line of the text, why, and what to do."""
    return Piece(said=[] if of else [SAFE], boxes=_boxes(of)).html


def solution(of: Solution) -> str:
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
    ).html


def operating_point(of: OperatingPoint) -> str:
    """Show every part in one step, or why the step has no figures."""
    title = f"Step {of.step.name}"
    if not of.success:
        return Piece(title=title, strong=[f"Not solved: {of.message}."]).html
    return Piece(
        title=title,
        said=[_powers(of, of.units)],
        strong=two_points_lines(of, of.units),
        tables=point_tables(of, of.units),
        cautions=_cautions(),
    ).html


def _powers(of: OperatingPoint, units: System) -> str:
    totals = of.totals
    brought, useful, lost = (
        show(power, "power", units) for power in (totals.input, totals.useful, totals.loss)
    )
    return f"{brought} brought in, {useful} useful, {lost} lost as heat"


def _boxes(of: Findings) -> list[Box]:
    return [Box(found, alike, _line_of(found, of.texts)) for found, alike in folded(of)]


def _line_of(finding: Finding, texts: Mapping[str, str]) -> str:
    place = finding.place
    text = texts.get(place.file, "")
    if not (place.line and text):
        return ""
    return "\n".join(excerpt(text, place.line, place.column, place.end_line, place.end_column))


def _cautions(not_checked: int | None = None) -> list[str]:
    """Short cautions; the one on checks not run only where checks were run."""
    always = [one for one in cautions(not_checked or 0) if one.always]
    return [one.short for one in always if not_checked is not None or one.slug != "defaults"]


@cache
def _template() -> Template:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(PACKAGE / "reports"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template("notebook.html")
