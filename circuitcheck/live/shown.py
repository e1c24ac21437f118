"""What is known of a circuit as the page shows it: figures with units, places in the text."""

from __future__ import annotations

import math
from typing import Any

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import show
from circuitcheck.circuit.model import Circuit
from circuitcheck.live.amounts import Knob
from circuitcheck.reports.result import Result
from circuitcheck.schematic.readings import reading, values_of
from circuitcheck.solver.operating import OperatingPoint, PartState

Json = dict[str, Any]
_MOST_RATIO = 1e6
"""Ratios beyond it say nothing; own choice."""


class Lines:
    """The lines of a text, to give places as a browser counts: in units of UTF-16, from 0."""

    def __init__(self, text: str, file: str) -> None:
        self._lines = text.split("\n")
        self._file = file

    def place(self, place: Place) -> list[int] | None:
        """Give line and column of both ends; None for what does not stand in this text."""
        own = place.root
        if not own.line or own.file != self._file or own.line > len(self._lines):
            return None
        return [
            own.line - 1, self._column(own.line, own.column),
            own.end_line - 1, self._column(own.end_line, own.end_column),
        ]  # fmt: skip

    def _column(self, line: int, column: int) -> int:
        text = self._lines[line - 1] if line <= len(self._lines) else ""
        before = text[: column - 1]
        return len(before) if before.isascii() else len(before.encode("utf-16-le")) // 2


def finding_data(finding: Finding, lines: Lines) -> Json:
    """Give a finding with its place, and those that it explains."""
    return {
        "severity": finding.severity.value,
        "slug": finding.slug,
        "message": finding.message,
        "why": finding.why,
        "remedy": finding.remedy,
        "source": finding.source,
        "part": finding.component,
        "step": finding.step,
        "place": lines.place(finding.place),
        "elsewhere": "" if lines.place(finding.place) else _elsewhere(finding.place),
        "notes": [
            {"message": note.message, "place": lines.place(note.place)} for note in finding.notes
        ],
        "below": [finding_data(one, lines) for one in finding.consequences],
    }


def _elsewhere(place: Place) -> str:
    return f"line {place.line} of {place.file.rpartition('/')[2]}" if place.line else ""


def summary(result: Result) -> str:
    """Count what was found, in words."""
    counts = [(result.count(severity), severity.value) for severity in Severity]
    words = [
        f"{count} {word}{'s' if count > 1 and word != 'advice' else ''}"
        for count, word in counts
        if count
    ]
    return ", ".join(words) or "nothing found"


def knob_data(knob: Knob, lines: Lines) -> Json:
    """Give a figure that can be turned."""
    return {
        "name": knob.name, "place": lines.place(knob.place), "value": knob.value,
        "unit": knob.unit, "least": knob.least, "most": knob.most, "step": knob.step,
        "part": knob.part,
    }  # fmt: skip


def point_data(circuit: Circuit, point: OperatingPoint, usual: list[str]) -> Json:
    """Give a solved step: every part with its ports, what stands on the sheet, the usual results.

    Figures of a step that is not solved are left out.
    """
    about = {"step": point.step.name, "solved": point.success, "message": point.message}
    if not point.success:
        return {**about, "parts": {}, "notes": {}, "readings": {}, "usual": []}
    notes: dict[str, list[str]] = {}
    for value in values_of(circuit, point):
        notes.setdefault(f"{value.item}.{value.port}", []).append(value.text)
    read = {name: reading(circuit, part, point) for name, part in circuit.parts.items()}
    return {
        **about,
        "parts": {name: _part(state, circuit) for name, state in point.parts.items()},
        "notes": notes,
        "readings": {name: rows[0] for name, rows in read.items() if rows},
        "usual": [[name, _usual(name, circuit, point)] for name in usual],
    }


def _part(state: PartState, circuit: Circuit) -> Json:
    units = circuit.units
    values = [
        [name, show(value, state.quantities[name], units)]
        for name, value in state.values.items()
        if (name != "heat" or value) and not _endless(value, state.quantities[name])
    ]
    ports = {
        letter: [show(port.pressure, "pressure", units), *_flow(port.flow, circuit)]
        for letter, port in state.ports.items()
    }
    return {"state": state.state, "values": values, "ports": ports}


def _endless(value: float, quantity: str) -> bool:
    """Whether a ratio is one to next to nothing, such as the safety of a rod that bears no load."""
    return quantity == "ratio" and not abs(value) < _MOST_RATIO


def _flow(flow: float, circuit: Circuit) -> list[str]:
    """Write a flow, and whether it goes in or out."""
    text = show(abs(flow), "flow", circuit.units)
    still = math.isnan(flow) or text.partition(" ")[0] == "0"
    return [text, "" if still else "in" if flow > 0 else "out"]


def _usual(name: str, circuit: Circuit, point: OperatingPoint) -> str:
    if name == "heat":
        return show(point.totals.loss, "power", circuit.units)
    part, _, what = name.partition(" ")
    state = point.parts[part]
    if what in state.values:
        return show(state.values[what], state.quantities[what], circuit.units)
    port = state.ports.get("P")
    return show(port.pressure if port else math.nan, "pressure", circuit.units)
