"""Findings: what a stage has to say about its input, as values."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import Enum

from circuitcheck.basics.places import NOWHERE, Place


class Severity(Enum):
    """How much a finding weighs, worst first."""

    ERROR = "error"
    WARNING = "warning"
    ADVICE = "advice"

    @property
    def rank(self) -> int:
        return list(Severity).index(self)


@dataclass(frozen=True)
class Note:
    """A second place that belongs to a finding ("the relief is set here")."""

    message: str
    place: Place


@dataclass(frozen=True)
class Number:
    """A figure that a finding rests on: SI value, kind of quantity, what it is called."""

    name: str
    value: float
    quantity: str


@dataclass(frozen=True)
class Finding:
    """One statement about a text, a circuit or its operating points.

    ``slug`` names the rule (``relief-below-compensator``) or, for what the text itself
    does wrong, the mistake (``unit-missing``). ``message`` is one clause in trade words;
    ``remedy`` says what to write or do. ``step`` and ``component`` are names, empty where
    they do not apply. ``consequences`` are findings that this one explains. ``instead`` is
    what stands at ``place`` once the text is put right, None where it takes more than that.
    """

    slug: str
    severity: Severity
    message: str
    place: Place = NOWHERE
    remedy: str = ""
    why: str = ""
    source: str = ""
    component: str = ""
    port: str = ""
    step: str = ""
    numbers: tuple[Number, ...] = ()
    notes: tuple[Note, ...] = ()
    consequences: tuple[Finding, ...] = field(default=())
    instead: str | None = None

    def with_consequences(self, found: tuple[Finding, ...]) -> Finding:
        """Give the same finding with ``found`` tucked under it."""
        return replace(self, consequences=self.consequences + found)


def told_of_uses(finding: Finding) -> Finding:
    """Give a finding about the inside of a block with notes on who uses the block."""
    known = {note.place for note in finding.notes}
    notes = [
        Note(f"{use.name} is made from this block", use.place)
        for use in finding.place.uses()
        if use.place not in known
    ]
    return replace(finding, notes=(*finding.notes, *notes)) if notes else finding


@dataclass(frozen=True)
class NotChecked:
    """A rule that could not be judged on a part for want of data."""

    slug: str
    component: str
    missing: str
