"""The whole report as one HTML page that needs no other file and no script."""

from __future__ import annotations

import re
from itertools import count
from pathlib import PurePath

from markupsafe import Markup

from circuitcheck.basics.carets import excerpt
from circuitcheck.basics.findings import Finding
from circuitcheck.basics.quantities import show
from circuitcheck.reports import why_text
from circuitcheck.reports.findings_text import count_line
from circuitcheck.reports.page_blocks import Drawn, Material, Picture
from circuitcheck.reports.page_sections import sections
from circuitcheck.reports.templates import template
from circuitcheck.rules import cautions

__all__ = ["PAPERS", "Drawn", "Material", "inline", "render"]

PAPERS = ("A4", "letter")
"""Paper that a page can be fitted to; without one it fits what the printer has."""


def render(material: Material, paper: str = "") -> str:
    """Give the page; the drawings are shown in their order, the first one first.

    Raises ``ValueError`` where the paper is none of `PAPERS`.
    """
    if paper and paper not in PAPERS:
        raise ValueError(f"paper is {' or '.join(PAPERS)}, not '{paper}'")
    result, units = material.result, material.units
    circuit = result.circuit
    pictures = [
        (f"sheet{i}", drawn, Markup(inline(drawn.svg, f"sheet{i}-")))
        for i, drawn in enumerate(material.drawings, 1)
    ]
    numbers = count(1)
    return template("page.html").render(
        # a report is sent on: where the file lay on this machine is nobody's business
        title=(circuit.title if circuit else "") or PurePath(result.file).name or "Circuit",
        issue=circuit.issue if circuit else "",
        counts=count_line(result),
        sections=sections(material),
        pictures=pictures,
        cautions=cautions(len(result.not_checked)),
        paper=paper,
        inlined=lambda block: _inlined(block, f"picture{next(numbers)}-"),
        source_line=lambda finding: source_line(finding, result.text_of(finding.place)),
        name_of=why_text.name_of,
        sentence=why_text.sentence,
        value_of=lambda one: show(one.value, one.quantity, units, why_text.DIGITS),
        written=lambda one: why_text.written(one.formula, one.value, units),
        letters=lambda one: why_text.letters(one.formula, units),
    )


def _inlined(picture: Picture, prefix: str) -> Markup:
    return Markup(inline(picture.svg, prefix))


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
    return f'{head} role="img" class="drawn">{rest}'
