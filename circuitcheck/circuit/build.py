"""Puts a circuit together from what a text says, stage by stage."""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.basics.findings import Finding, told_of_uses
from circuitcheck.basics.places import Place
from circuitcheck.circuit.accepted import AcceptanceReader
from circuitcheck.circuit.allowances import read_allowances
from circuitcheck.circuit.checks import check_drives, check_open_ports
from circuitcheck.circuit.claims import ClaimReader
from circuitcheck.circuit.clauses import ClauseReader
from circuitcheck.circuit.defaults import Defaults
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.drawing import read_drawing
from circuitcheck.circuit.ends import BlockPort
from circuitcheck.circuit.figures import FigureReader
from circuitcheck.circuit.files import Files
from circuitcheck.circuit.heads import read_title, read_units
from circuitcheck.circuit.inside import as_written, by_block
from circuitcheck.circuit.junctions import Junctions
from circuitcheck.circuit.limits import read_limits
from circuitcheck.circuit.lines import LineReader
from circuitcheck.circuit.model import BlockUse, Circuit
from circuitcheck.circuit.names import Names
from circuitcheck.circuit.oil import read_oil
from circuitcheck.circuit.opening import BlockOpener, Opened
from circuitcheck.circuit.partner_lines import partner_lines
from circuitcheck.circuit.parts import PartReader
from circuitcheck.circuit.steps import StepReader
from circuitcheck.circuit.subjects import Subjects
from circuitcheck.circuit.values import Values
from circuitcheck.circuit.variations import VariationReader
from circuitcheck.components import kinds
from circuitcheck.language.faults import fault
from circuitcheck.language.text import Text

MOST_FINDINGS = 20


def build(text: Text) -> tuple[Circuit | None, list[Finding]]:
    """Give the circuit that a text describes, and what is wrong with it.

    The circuit is None where there is an error, in the text as read or here: a circuit
    with a sentence left out is another circuit. Findings stand in the order of the text.
    Blocks are opened: their insides become parts and lines of the circuit.
    """
    desk = Desk(kinds(), set(text.unread))
    names = Names(desk, text.names_lost)
    values = Values(desk, text)
    figures = FigureReader(desk, values, Files(text.file, text.folder))
    opener = BlockOpener(desk, text, figures, values)
    text, blocks = opener.open(text), opener.opened
    if opener.full:
        return None, _told(desk)
    clauses = ClauseReader(desk, figures)
    defaults = Defaults(desk, text, clauses)

    title, issue, title_block = read_title(desk, text)
    units = read_units(desk, text)
    oil, oil_degC, assumptions = read_oil(desk, text)
    part_reader = PartReader(desk, text, names, clauses, defaults, blocks)
    listed = part_reader.read(text)
    line_reader = LineReader(desk, names, part_reader, clauses, figures, blocks)
    laid = line_reader.read(text)
    parts = listed.parts
    laid += partner_lines(parts, laid)

    whole = text.complete and not desk.errors
    junctions = Junctions(desk, parts, laid)
    if whole:
        check_open_ports(desk, parts, junctions.joined() | line_reader.half_joined)
        check_drives(desk, parts)
        opener.check_ports()

    steps_reader = StepReader(desk, names, parts, figures, blocks)
    steps, repeats = steps_reader.read(text)
    sides = {
        line.name: (junctions.near_of(line), junctions.far_of(line)) for line in laid if line.name
    }
    inside = by_block(parts)
    uses = [_block_use(use, inside, junctions) for use in blocks.values()]
    ports = {
        name: {letter: junctions.end_at(BlockPort(name, letter)) for letter in use.form.ports}
        for name, use in blocks.items()
    }
    subjects = Subjects(desk, names, parts, sides, ports)
    claims = ClaimReader(
        desk, figures, subjects,
        dict.fromkeys(step.name for step in steps), steps_reader.silent | text.unread,
    ).read(text)  # fmt: skip
    accepted = AcceptanceReader(
        desk, names, {*parts, *sides, *blocks}, [step.name for step in steps],
        steps_reader.silent | text.unread,
    ).read(text)  # fmt: skip
    limits = read_limits(desk, text)
    sheet, hints, hints_unused = read_drawing(desk, text, names, {*parts, *blocks})

    if desk.errors or not text.complete:
        return None, _told(desk)
    circuit = Circuit(
        title=title,
        issue=issue,
        title_block=title_block,
        oil=oil,
        parts=parts,
        junctions=junctions.all(),
        runs=[junctions.run(line) for line in laid],
        steps=steps,
        repeats=repeats,
        claims=claims.claims,
        readings=claims.readings,
        hints=hints,
        accepted=accepted,
        limits=limits,
        sheet=sheet,
        units=units,
        assumptions=[*assumptions, *opener.assumptions, *listed.assumptions, *claims.assumptions],
        unused=hints_unused,
        file=text.file,
        text=text.source,
        oil_degC=oil_degC,
        blocks=uses,
        texts=dict(text.used),
        place=next((chapter.place for chapter in text.named("circuit")), _first(text)),
    )
    circuit.questions = VariationReader(desk, figures, subjects, circuit, sides).read(text)
    circuit.tolerances = read_allowances(desk, circuit, text)
    return None if desk.errors else circuit, _told(desk)


def _told(desk: Desk) -> list[Finding]:
    """Give what was found, in the order of the text."""
    found = sorted(as_written(desk.findings), key=lambda f: (f.place.root, f.place))
    return _first_few([told_of_uses(finding) for finding in found])


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


def _block_use(use: Opened, inside: Mapping[str, list[str]], junctions: Junctions) -> BlockUse:
    name = use.name.text
    return BlockUse(
        name,
        use.kind,
        tuple(inside.get(name, ())),
        {letter: junctions.at(BlockPort(name, letter)) for letter in use.form.ports},
        use.name.place,
    )


def _first(text: Text) -> Place:
    return Place(text.file, 1, 1, 1, 1)
