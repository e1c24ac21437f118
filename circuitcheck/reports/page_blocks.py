"""What a report is made of: chapters of tables, text, pictures and what is folded away.

A chapter is data; `page.html` draws it. So a new one needs no HTML: a function that gives its
blocks, and a line in `page_sections.SECTIONS`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.quantities import System
from circuitcheck.circuit.model import Circuit
from circuitcheck.reports.result import Result
from circuitcheck.reports.tables import Table
from circuitcheck.reports.terminal import pieces
from circuitcheck.studies.duty import Duty
from circuitcheck.studies.why_trail import Reason

ROOM = 94
"""Letters that fit side by side on A4 and on Letter at the size of the tables."""

FOLDED, OPEN, LEFT_OUT = "folded", "open", "left out"
"""What becomes of what can be folded away; paper cannot be unfolded."""

LONG = 12
"""Rows from which a table may go over from one page to the next."""


@dataclass(frozen=True)
class Drawn:
    """Schematic of a step as SVG; ``notice`` says what was not heeded, or why there is none."""

    step: str
    svg: str
    notice: str = ""


@dataclass(frozen=True)
class Material:
    """What chapters are made from.

    ``numbers``: how each number was made is `FOLDED` away, stands `OPEN`, or is `LEFT_OUT`.
    ``duty`` is the duty cycle, why there is none, or None where no step has a time.
    """

    result: Result
    drawings: Sequence[Drawn]
    units: System
    numbers: str = FOLDED
    duty: Duty | str | None = None

    @property
    def circuit(self) -> Circuit:
        """The circuit; chapters are only asked where there is one."""
        assert self.result.circuit is not None
        return self.result.circuit


@dataclass(frozen=True)
class Words:
    """A paragraph; ``kind`` is "" or "strong", "note", "sources"."""

    text: str
    kind: str = ""
    block: str = field(default="words", init=False)


@dataclass(frozen=True)
class Head:
    """A heading under that of the chapter; ``id`` where it can be led to."""

    text: str
    id: str = ""
    block: str = field(default="head", init=False)


@dataclass(frozen=True)
class Items:
    """A list, with numbers where the order counts; each item a bold word and a text."""

    rows: tuple[tuple[str, str], ...]
    numbered: bool = False
    block: str = field(default="items", init=False)


@dataclass(frozen=True)
class Facts:
    """Names and what they are, side by side."""

    rows: tuple[tuple[str, str], ...]
    block: str = field(default="facts", init=False)


@dataclass(frozen=True)
class Picture:
    """An SVG with what stands below it."""

    svg: str
    caption: str
    block: str = field(default="picture", init=False)


@dataclass(frozen=True)
class Sheets:
    """Schematics, one of which is shown on the screen and all on paper."""

    drawings: Sequence[Drawn]
    title: str
    block: str = field(default="sheets", init=False)


@dataclass(frozen=True)
class Boxes:
    """Findings, each with those like it."""

    findings: Sequence[tuple[Finding, tuple[Finding, ...]]]
    block: str = field(default="boxes", init=False)


@dataclass(frozen=True)
class Folded:
    """What is shown on request: a line, and what it stands for."""

    summary: str
    blocks: tuple[Block, ...]
    open: bool = False
    block: str = field(default="folded", init=False)


@dataclass(frozen=True)
class Walked:
    """The walk from a figure to what sets it."""

    reason: Reason
    block: str = field(default="walked", init=False)


@dataclass(frozen=True)
class Tabled:
    """A table; one that is too wide for paper stands in pieces under each other."""

    table: Table
    block: str = field(default="tabled", init=False)

    @property
    def pieces(self) -> list[Table]:
        made = self.table
        found = []
        for n, columns in enumerate(pieces(made, ROOM)):
            found.append(
                Table(
                    f"{made.caption}, continued" if n else made.caption,
                    tuple(made.columns[i] for i in columns),
                    tuple(tuple(row[i] for i in columns) for row in made.rows),
                )
            )
        return found

    @property
    def long(self) -> bool:
        return len(self.table.rows) > LONG


Block = Words | Head | Items | Facts | Picture | Sheets | Boxes | Folded | Walked | Tabled


@dataclass(frozen=True)
class Section:
    """A chapter: ``id`` to lead to it, its title, and what it says."""

    id: str
    title: str
    blocks: tuple[Block, ...]
