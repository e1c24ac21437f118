"""Computed figures of parts, ports and lines, as an editor shows them beside the text."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import NamedTuple

from circuitcheck.basics.quantities import System, show, unit_label
from circuitcheck.circuit.model import Circuit, Run
from circuitcheck.reports.figures import bare
from circuitcheck.reports.result import Result, units_of
from circuitcheck.solver.operating import HELD, INDETERMINATE, OperatingPoint, PartState

NOT_SOLVED = "not solved"
MOST_STEPS, MOST_COLUMNS = 16, 6
"""Rows and columns of a table beside the text; own choice."""

_TOLD = ("speed", "force", "torque", "pressure", "flow")
"""Values worth showing behind a part, in this order."""

_OF_KIND = {
    "pump": ("pressure", "flow", "shaft power"),
    "line": ("flow", "speed", "pressure"),
    "motor": ("speed", "torque", "flow"),
    "electric motor": ("power", "torque"),
    "engine": ("power", "torque"),
    "tank": (),
}
"""The same for kinds of which something else is of interest."""

_MOST_TOLD = 3
_MARKS = {HELD: "~", INDETERMINATE: "?"}


class Table(NamedTuple):
    """Figures by step: heads with units, a row of texts per step, what has to be said below."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]


class Inlay(NamedTuple):
    """Text behind the end of a sentence; line and column from 1."""

    line: int
    column: int
    text: str


# ---- tables by step -----------------------------------------------------------------------------


def part_table(result: Result, name: str) -> Table:
    """Give pressures at the ports and values of a part in every step."""
    circuit, units = _circuit(result), units_of(result)
    part = circuit.parts[name]
    solved = [point.parts[name] for point in result.points if point.success]
    measures = [m for m in part.kind.measures if any(m.name in s.values for s in solved)]
    letters = [port.letter for port in part.ports if any(port.letter in s.ports for s in solved)]
    states = any(state.state for state in solved)
    shown = measures[:MOST_COLUMNS]
    pressure = unit_label("pressure", units)
    heads = (
        "step",
        *(["state"] if states else []),
        *(f"{letter or name} [{pressure}]" for letter in letters[:MOST_COLUMNS]),
        *(_head(m.name, m.quantity, units) for m in shown),
    )

    def row(point: OperatingPoint) -> Iterator[str]:
        state = point.parts[name]
        if states:
            yield state.state
        for letter in letters[:MOST_COLUMNS]:
            yield _pressure(circuit, point, name, letter, units)
        for measure in shown:
            value = state.values.get(measure.name, math.nan)
            yield "-" if math.isnan(value) else bare(value, measure.quantity, units)

    return _table(result, heads, row)


def port_table(result: Result, name: str, letter: str) -> Table:
    """Give pressure at a port and flow into the part there, in every step."""
    circuit, units = _circuit(result), units_of(result)
    heads = ("step", _head("pressure", "pressure", units), _head("flow in", "flow", units))

    def row(point: OperatingPoint) -> Iterator[str]:
        state = point.parts[name].ports.get(letter)
        yield _pressure(circuit, point, name, letter, units)
        yield "" if state is None else bare(state.flow, "flow", units)

    return _table(result, heads, row)


def run_table(result: Result, run: Run) -> Table:
    """Give the pressures at both ends of a line without a size, in every step."""
    units = units_of(result)
    heads = ("step", *(_head(end, "pressure", units) for end in ("start", "end")))

    def row(point: OperatingPoint) -> Iterator[str]:
        for junction in (run.near, run.far):
            yield _at_junction(point, junction, units)

    return _table(result, heads, row)


def step_rows(result: Result, step: str) -> list[tuple[str, str]]:
    """Give what a whole step comes to, as pairs of name and figure."""
    units = units_of(result)
    point = next((one for one in result.points if one.step.name == step), None)
    if point is None or not point.success:
        return []
    totals = point.totals
    found = [
        ("input", show(totals.input, "power", units)),
        ("useful", show(totals.useful, "power", units)),
        ("loss", show(totals.loss, "power", units)),
        ("oil", show(point.oil_degC, "temperature", units)),
    ]
    if point.duration is not None:
        found.insert(0, ("time", show(point.duration, "time", units)))
    return found


def _table(
    result: Result, heads: tuple[str, ...], row: Callable[[OperatingPoint], Iterable[str]]
) -> Table:
    rows: list[tuple[str, ...]] = []
    notes = []
    for point in result.points[:MOST_STEPS]:
        if point.success:
            rows.append((point.step.name, *row(point)))
        else:
            rows.append((point.step.name, NOT_SOLVED, *[""] * (len(heads) - 2)))
    cells = [cell for one in rows for cell in one[1:]]
    if any(cell.endswith("~") for cell in cells):
        notes.append("~ held by leakage: a closed volume whose pressure only leakage decides")
    if any(cell.endswith("?") for cell in cells):
        notes.append("? not known: nothing in the circuit decides it")
    if len(result.points) > MOST_STEPS:
        notes.append(f"{len(result.points) - MOST_STEPS} more steps are not shown here")
    return Table(heads, tuple(rows), tuple(notes))


def _head(name: str, quantity: str, units: System) -> str:
    label = unit_label(quantity, units)
    return f"{name} [{label}]" if label else name


def _pressure(
    circuit: Circuit, point: OperatingPoint, part: str, letter: str, units: System
) -> str:
    junction = circuit.junction_of(part, letter)
    if junction is not None:
        return _at_junction(point, junction.name, units)
    state = point.parts[part].ports.get(letter)
    return "" if state is None else bare(state.pressure, "pressure", units)


def _at_junction(point: OperatingPoint, name: str, units: System) -> str:
    state = point.junctions.get(name)
    if state is None:
        return ""
    if state.status == INDETERMINATE or math.isnan(state.pressure):
        return _MARKS[INDETERMINATE]
    return bare(state.pressure, "pressure", units) + _MARKS.get(state.status, "")


def _circuit(result: Result) -> Circuit:
    assert result.circuit is not None
    return result.circuit


# ---- behind the sentences -----------------------------------------------------------------------


def steps_of(result: Result | None) -> list[str]:
    """Give the names of the steps that have operating points, solved or not."""
    return [] if result is None else [point.step.name for point in result.points]


def inlays(
    result: Result, ends: Iterable[tuple[int, int, tuple[str, ...]]], step: str = ""
) -> list[Inlay]:
    """Give the figures of one step, to stand behind the sentences of parts and lines.

    ``ends`` are line, column and the names of parts or of a line; a block has no figures of
    its own. Without ``step`` it is the first one that is solved.
    """
    wanted = (p for p in result.points if (p.step.name == step if step else p.success))
    point = next(wanted, None)
    if point is None or result.circuit is None:
        return []
    found = []
    for line, column, names in ends:
        texts = [(name, text) for name in names if (text := told(result, point, name))]
        if len(texts) > 1:
            texts = [("", "; ".join(f"{name} {text}" for name, text in texts))]
        found += [Inlay(line, column, text) for _, text in texts]
    return found


def verdicts(result: Result, file: str) -> list[Inlay]:
    """Give what was computed for each claim and reading of a file, and whether it holds."""
    units = units_of(result)
    found = []
    for one in result.claims:
        if one.place.file == file and one.place.line:
            computed = (
                "" if one.computed is None else f"{show(one.computed, one.quantity, units)}, "
            )
            text = f"{computed}{one.word}"
            found.append(Inlay(one.place.end_line, one.place.end_column, text))
    return found


def told(result: Result, point: OperatingPoint, name: str) -> str:
    """Give the few figures of a part or line that say most, in one step."""
    circuit, units = _circuit(result), units_of(result)
    if not point.success:
        return NOT_SOLVED if name in circuit.parts else ""
    state = point.parts.get(name)
    if state is None:
        run = next((run for run in circuit.runs if run.name == name), None)
        if run is None:
            return ""
        text = _at_junction(point, run.far, units)
        return f"{text} {unit_label('pressure', units)}" if text else ""
    shown = [
        text
        for value in _OF_KIND.get(state.kind, _TOLD)
        if (text := _value(circuit, point, state, value, units))
    ]
    return ", ".join(shown[:_MOST_TOLD])


def _value(
    circuit: Circuit, point: OperatingPoint, state: PartState, name: str, units: System
) -> str:
    if name in state.values:
        value, quantity = state.values[name], state.quantities[name]
        if math.isnan(value):
            return ""
        return f"{bare(value, quantity, units)} {unit_label(quantity, units)}".strip()
    if name == "pressure" and state.ports:
        letter = _high(state)
        text = _pressure(circuit, point, state.name, letter, units)
        return f"{letter} {text} {unit_label('pressure', units)}".strip() if text else ""
    return ""


def _high(state: PartState) -> str:
    """Give the port with the highest known pressure."""
    known: Sequence[str] = [
        letter for letter, port in state.ports.items() if not math.isnan(port.pressure)
    ]
    return max(known or state.ports, key=lambda letter: state.ports[letter].pressure)
