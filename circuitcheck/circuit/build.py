"""Puts a circuit together from what a text says, stage by stage."""

from __future__ import annotations

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.places import Place
from circuitcheck.circuit.checks import check_drives, check_open_ports
from circuitcheck.circuit.claims import ClaimReader
from circuitcheck.circuit.clauses import ClauseReader
from circuitcheck.circuit.defaults import Defaults
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.drawing import read_drawing
from circuitcheck.circuit.figures import FigureReader
from circuitcheck.circuit.heads import read_oil, read_title, read_units
from circuitcheck.circuit.junctions import Junctions
from circuitcheck.circuit.lines import LineReader
from circuitcheck.circuit.model import Circuit, Unused
from circuitcheck.circuit.names import Names
from circuitcheck.circuit.parts import PartReader
from circuitcheck.circuit.steps import StepReader
from circuitcheck.circuit.subjects import Subjects
from circuitcheck.circuit.values import Values
from circuitcheck.components import kinds
from circuitcheck.language.faults import fault
from circuitcheck.language.text import Text

MOST_FINDINGS = 20


def build(text: Text) -> tuple[Circuit | None, list[Finding]]:
    """Give the circuit that a text describes, and what is wrong with it.

    The circuit is None where there is an error, in the text as read or here: a circuit
    with a sentence left out is another circuit. Findings stand in the order of the text.
    Parts that are not acted on yet (blocks) are kept in ``unused``, with a warning each.
    """
    desk = Desk(kinds(), set(text.unread))
    names = Names(desk, text.names_lost)
    figures = FigureReader(desk, Values(desk, text))
    clauses = ClauseReader(desk, figures)
    defaults = Defaults(desk, text, clauses)

    title, issue = read_title(desk, text)
    units = read_units(desk, text)
    oil, oil_degC, assumptions = read_oil(desk, text)
    part_reader = PartReader(desk, text, names, clauses, defaults)
    listed = part_reader.read(text)
    line_reader = LineReader(desk, names, part_reader, clauses, figures)
    laid = line_reader.read(text)
    parts = listed.parts

    whole = text.complete and not desk.errors
    junctions = Junctions(desk, parts, laid)
    if whole:
        check_open_ports(desk, parts, junctions.joined() | line_reader.half_joined)
        check_drives(desk, parts)

    steps_reader = StepReader(desk, names, parts, figures)
    steps, repeats = steps_reader.read(text)
    sides = {
        line.name: (junctions.near_of(line), junctions.far_of(line)) for line in laid if line.name
    }
    claims = ClaimReader(
        desk, names, figures, Subjects(desk, names, parts, sides),
        dict.fromkeys(step.name for step in steps), steps_reader.silent | text.unread,
    ).read(text)  # fmt: skip
    sheet, hints, hints_unused = read_drawing(desk, text, names, parts)

    findings = _first_few(sorted(desk.findings, key=lambda finding: finding.place))
    if desk.errors or not text.complete:
        return None, findings
    unused = [
        *_unused_chapters(text), *defaults.unused, *listed.unused, *line_reader.unused,
        *steps_reader.unused, *claims.unused, *hints_unused,
    ]  # fmt: skip
    circuit = Circuit(
        title=title,
        issue=issue,
        oil=oil,
        parts=parts,
        junctions=junctions.all(),
        runs=[junctions.run(line) for line in laid],
        graph=junctions.graph(),
        steps=steps,
        repeats=repeats,
        claims=claims.claims,
        readings=claims.readings,
        hints=hints,
        sheet=sheet,
        units=units,
        assumptions=[*assumptions, *listed.assumptions, *claims.assumptions],
        unused=sorted(unused, key=lambda row: row.place),
        file=text.file,
        text=text.source,
        oil_degC=oil_degC,
        place=next((chapter.place for chapter in text.named("circuit")), _first(text)),
    )
    return circuit, findings


def _first_few(findings: list[Finding]) -> list[Finding]:
    """Give the first findings of a text that has very many, and say how many more there are."""
    if len(findings) <= MOST_FINDINGS:
        return findings
    shown, more = findings[:MOST_FINDINGS], findings[MOST_FINDINGS:]
    worst = min((finding.severity for finding in more), key=lambda severity: severity.rank)
    message = f"there are {len(more)} more mistakes from here on"
    return [
        *shown,
        fault(
            "many-mistakes",
            more[0].place,
            message,
            "put the mistakes above right first",
            severity=worst,
        ),
    ]


def _unused_chapters(text: Text) -> list[Unused]:
    """Sentences that are read and kept, but not acted on yet."""
    found = [Unused("use", chapter.text, chapter.place) for chapter in text.named("use")]
    found += [Unused("block", block.text, block.place) for block in text.blocks]
    for word in ("variations", "accepted"):
        found += [Unused(word, row.text, row.place) for row in text.sentences(word)]
    return found


def _first(text: Text) -> Place:
    return Place(text.file, 1, 1, 1, 1)
