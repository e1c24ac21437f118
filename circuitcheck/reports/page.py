"""The whole report as one HTML page that needs no other file and no script."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import PurePath

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template
from markupsafe import Markup

from circuitcheck.basics.carets import excerpt
from circuitcheck.basics.findings import Finding
from circuitcheck.basics.folders import PACKAGE
from circuitcheck.basics.quantities import System, show
from circuitcheck.reports.background import assumptions_table, unused_lines
from circuitcheck.reports.claims import claims_table
from circuitcheck.reports.findings_text import accepted_table, count_line, not_checked_table
from circuitcheck.reports.result import Result, folded, label, uncertain
from circuitcheck.reports.step_tables import (
    oil_line,
    point_tables,
    pressures_table,
    solver_table,
    steps_table,
)
from circuitcheck.reports.tank_tables import tank_tables
from circuitcheck.reports.two_points import two_points_lines
from circuitcheck.rules import cautions


@dataclass(frozen=True)
class Drawn:
    """Schematic of a step as SVG; ``notice`` says what was not heeded, or why there is none."""

    step: str
    svg: str
    notice: str = ""


def render(result: Result, drawings: Sequence[Drawn], units: System) -> str:
    """Give the page; ``drawings`` are shown in their order, the first one first."""
    circuit = result.circuit
    return _template().render(
        result=result,
        circuit=circuit,
        title=(circuit.title if circuit else "") or result.file or "Circuit",
        # a report is sent on: where the file lay on this machine is nobody's business
        file=PurePath(result.file).name,
        counts=count_line(result),
        findings=folded(result.findings),
        drawings=[
            (f"sheet{i}", drawn, Markup(inline(drawn.svg, f"sheet{i}-")))
            for i, drawn in enumerate(drawings, 1)
        ],
        oils=dict.fromkeys(oil_line(p, circuit.oil.name, units) for p in result.points)
        if circuit
        else (),
        steps=steps_table(result, units),
        pressures=pressures_table(result, units),
        tanks=list(tank_tables(result, units)),
        points=[(point, _duration(point.duration), _tables(result, units, i))
                for i, point in enumerate(result.points)],
        claims=claims_table(result.claims, units) if result.claims else None,
        accepted=accepted_table(result) if result.accepted else None,
        not_checked=not_checked_table(result.not_checked) if result.not_checked else None,
        solver=solver_table(result, units),
        assumptions=assumptions_table(circuit) if circuit and circuit.assumptions else None,
        unused=unused_lines(circuit) if circuit else [],
        doubtful=_doubtful(result),
        cautions=cautions(len(result.not_checked)),
        two_points=lambda point: two_points_lines(point, units),
        source_line=lambda finding: source_line(finding, result.text_of(finding.place)),
    )  # fmt: skip


@cache
def _template() -> Template:
    environment = Environment(
        loader=FileSystemLoader(PACKAGE / "reports"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template("page.html")


def _duration(duration: float | None) -> str:
    return "" if duration is None else show(duration, "time")


def _tables(result: Result, units: System, i: int) -> list[object]:
    point = result.points[i]
    return list(point_tables(point, units)) if point.success else []


def _doubtful(result: Result) -> list[str]:
    circuit = result.circuit
    if circuit is None:
        return []
    return [
        f"{'; '.join(dict.fromkeys(label(circuit, name) for name in names))}: "
        f"{status} in {', '.join(steps)}"
        for status, names, steps in uncertain(result)
    ]


def source_line(finding: Finding, text: str) -> str:
    """Give the line of the text that a finding speaks of, with its caret below."""
    place = finding.place
    if not place.line:
        return ""
    rows = excerpt(text, place.line, place.column, place.end_line, place.end_column)
    return "\n".join(rows)


def inline(svg: str, prefix: str) -> str:
    """Make an SVG file part of a page: no prologue, no fixed size, ids of its own.

    Several drawings on a page would otherwise share their ids, which HTML forbids.
    """
    if not svg:
        return ""
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r'\b(id|href|xlink:href)="(#?)', rf'\1="\2{prefix}', svg)
    svg = svg.replace("url(#", f"url(#{prefix}")
    head, rest = svg.split(">", 1)
    head = re.sub(r'\s(?:width|height|baseProfile|version)="[^"]*"', "", head)
    return f'{head} role="img" class="schematic">{rest}'
