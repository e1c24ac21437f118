"""``circuitcheck draw``: the schematic of a circuit."""

from __future__ import annotations

from dataclasses import replace
from os import fsdecode, fsencode
from os.path import relpath
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote, unquote_to_bytes

import click

from circuitcheck.cli._options import only
from circuitcheck.cli._output import complain, say, sheet, write_file
from circuitcheck.cli._status import FAULT, NOT_UNDERSTOOD

if TYPE_CHECKING:
    from circuitcheck.pipeline import Project
    from circuitcheck.schematic import Drawing, Extra, Netlist

AS_WRITTEN = "as written"
_PLAIN = (None, False, False, False, False, None, None)
"""Step, colour, operated, tables, short, paper and sheets where nothing is asked."""


@click.command("draw", short_help="Draw the schematic as SVG, PDF, PNG or DXF.")
@click.argument("file", type=click.Path(path_type=Path), required=False)
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    help="File .svg, .pdf, .png or .dxf; without it, SVG on the screen.",
)
@click.option("--step", metavar="NAME", help="Write the values of this step beside their points.")
@click.option(
    "--colour", is_flag=True, help="Of a step: colour by pressure, width by flow, losses tinted."
)
@click.option(
    "--operated", is_flag=True, help="Of a step: valves, pump spools and rods as they stand."
)
@click.option("--tables", is_flag=True, help="Add tables: steps, parts, what port letters mean.")
@click.option("--short", is_flag=True, help="Draw the controls of pumps in short form.")
@click.option(
    "--paper",
    metavar="SIZE",
    help=f"Fit it to a framed sheet: 'A3, landscape', 'fit', or '{AS_WRITTEN}' in the text.",
)
@click.option(
    "--per-sheet",
    type=click.IntRange(1),
    metavar="N",
    help="Break it into sheets of about N parts: NAME-1.svg, NAME-2.svg ...",
)
@click.option("--symbols", is_flag=True, help="Draw a sheet of all symbols instead of a circuit.")
def command(
    file: Path | None,
    output: Path | None,
    step: str | None,
    colour: bool,
    operated: bool,
    tables: bool,
    short: bool,
    paper: str | None,
    per_sheet: int | None,
    symbols: bool,
) -> int:
    """Draw the schematic of FILE with ISO 1219 symbols."""
    from circuitcheck import pipeline, reports
    from circuitcheck.schematic import NotDrawable, symbol_sheet

    if output is not None and output != file:
        _check_form(output)
    if symbols and (step, colour, operated, tables, short, paper, per_sheet) != _PLAIN:
        raise click.UsageError("--symbols draws all symbols at once; the other options do not fit")
    if symbols:
        return _give(symbol_sheet(), None, output, file)
    if file is None:
        raise click.UsageError("name the circuit to draw, such as press.hyc, or ask for --symbols")
    if (colour or operated) and step is None:
        raise click.UsageError("--colour and --operated show a step; name it:  --step NAME")
    if per_sheet is not None and output is None:
        raise click.UsageError("--per-sheet writes several files; name them:  -o NAME.svg")
    project = pipeline.open_file(file)
    if not project.understood:
        page = sheet()
        reports.write_check(page, project.check(), None)
        complain(page.text())
        return NOT_UNDERSTOOD
    if step is not None:
        only(project.solved(), step)
    wanted: dict[Extra, bool] = {
        "links": True, "colours": colour, "positions": operated, "steps": tables, "parts": tables,
        "short": short,
    }  # fmt: skip
    extras = [extra for extra, asked in wanted.items() if asked]
    try:
        drawings = _drawn(project, step, extras, per_sheet, output)
    except NotDrawable as problem:
        complain(
            f"{file}: no drawing without faults was found ({problem});\n"
            "hints in a chapter 'drawing' can help, for example: C1 above V1"
        )
        return FAULT
    if output is None and len(drawings) > 1:
        raise click.UsageError("the text asks for several sheets; name their files:  -o NAME.svg")
    said = project.circuit.sheet or "fit" if paper == AS_WRITTEN else paper or ""
    if said and len(drawings) > 1:
        drawings = _referred(drawings, said)
    try:
        texts = [drawing.svg(said) for drawing in drawings]
    except ValueError as problem:
        raise click.UsageError(f"--paper: {problem}") from problem
    for number, (drawing, svg) in enumerate(zip(drawings, texts, strict=True), 1):
        for notice in filter(None, (*drawing.notices, drawing.cramped(said))):
            complain(f"{file}: {notice}")
        target = output
        if output is not None and len(drawings) > 1:
            target = output.with_name(f"{output.stem}-{number}{output.suffix}")
        _give(svg, drawing, target, file, said)
    return 0


def _check_form(output: Path) -> None:
    from circuitcheck.schematic import FORMATS

    form = output.suffix.lower().removeprefix(".")
    if form and form not in FORMATS:
        raise click.UsageError(
            f"a drawing is not written as '.{form}'; it can be .{', .'.join(FORMATS)}"
        )


def _linked(netlist: Netlist, output: Path | None) -> Netlist:
    """Let the links to lines of the text lead there from where the drawing is written."""
    if output is None:
        return netlist

    def led(link: str) -> str:
        path, mark, line = link.rpartition("#")
        if not path:
            return link
        file = relpath(fsdecode(unquote_to_bytes(path)), output.parent)
        return f"{quote(fsencode(file))}{mark}{line}"

    items = tuple(replace(item, link=led(item.link)) for item in netlist.items)
    return replace(netlist, items=items)


def _drawn(
    project: Project,
    step: str | None,
    extras: list[Extra],
    per_sheet: int | None,
    output: Path | None,
) -> list[Drawing]:
    """Draw the sheets of a circuit, with the values of a step if it could be solved."""
    from circuitcheck import schematic

    point = project.point(step) if step else None
    solved = point if point is not None and point.success else None
    if point is not None and solved is None:
        complain(f"step {step} could not be solved; the drawing has no values")
    netlist = _linked(schematic.from_circuit(project.circuit, solved, extras), output)
    sheets = schematic.split(netlist, per_sheet)
    return [schematic.draw(sheet, project.circuit.title) for sheet in sheets]


def _referred(drawings: list[Drawing], paper: str) -> list[Drawing]:
    """Name sheet and field where a line goes on."""
    from circuitcheck.schematic import refer_to_fields

    try:
        return refer_to_fields(drawings, paper)
    except ValueError as problem:
        raise click.UsageError(f"--paper: {problem}") from problem


def _give(
    svg: str, drawing: Drawing | None, output: Path | None, read: Path | None, paper: str = ""
) -> int:
    """Write a drawing to its file in the form that its name asks for, or SVG to the screen."""
    from circuitcheck import schematic

    if output is None:
        say(svg if svg.endswith("\n") else svg + "\n")
        return 0
    form = output.suffix.lower()
    written: str | bytes = svg
    try:
        if form == ".pdf":
            written = schematic.as_pdf(svg)
        elif form == ".png":
            written = schematic.as_png(svg)
        elif form == ".dxf" and drawing is None:
            raise click.UsageError("the sheet of symbols is written as .svg, .pdf or .png")
        elif form == ".dxf" and drawing is not None:
            written = drawing.dxf(paper)
    except schematic.ConverterMissingError as problem:
        raise click.UsageError(str(problem)) from problem
    write_file(output, written, read)
    say(f"{output} written\n")
    return 0
