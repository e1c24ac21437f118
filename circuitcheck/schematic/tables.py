"""Tables on the sheet: steps with the solenoids that are on, and the list of parts."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from circuitcheck.basics.quantities import show
from circuitcheck.basics.shapes import Box, Line, Polygon, Shape, Text
from circuitcheck.circuit.model import Circuit, Step
from circuitcheck.components._parts import Part
from circuitcheck.schematic.descriptions import data_lines, hose_label
from circuitcheck.schematic.fonts import text_width

_SIZE, _HIGH, _PAD = 1.4, 2.2, 0.6
"""Font size, height of a row, room left and right of a text [M]."""
ON = "+"
"""Mark of a solenoid that is on, as the trade writes it (common practice, no source)."""

_KNOWN = ("P", "T", "A", "B", "X", "Y", "L", "M")
"""Letters of ISO 9461 (from memory), which need no word on a sheet."""


@dataclass(frozen=True)
class Table:
    """A table: its name, the heads of its columns, its rows; all as text."""

    id: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def step_table(circuit: Circuit, shown: str = "") -> Table | None:
    """Give the table of steps: which solenoid is on, where a hand-worked valve stands.

    The row of the step ``shown`` on the sheet is marked. None for a circuit without valves
    or without steps.
    """
    valves = [part for part in circuit.parts.values() if part.positions]
    if not valves or not circuit.steps:
        return None
    columns = [column for valve in valves for column in _columns(valve)]
    rows = []
    timed = any(step.duration is not None for step in circuit.steps)
    for number, step in enumerate(circuit.steps, 1):
        lasts = () if not timed else (_time(step, circuit),)
        name = f"{step.name} (shown)" if step.name == shown else step.name
        cells = [_cell(valve, letter, step) for valve, letter in columns]
        rows.append((str(number), name, *lasts, *cells))
    heads = [f"{v.name} {letter}".strip() for v, letter in columns]
    return Table("steps", ("", "Step", *(("Time",) if timed else ()), *heads), tuple(rows))


def _time(step: Step, circuit: Circuit) -> str:
    return "" if step.duration is None else show(step.duration, "time", circuit.units)


def _columns(valve: Part) -> list[tuple[Part, str]]:
    """Give one column for each solenoid, or one for the position of other valves."""
    said = " | ".join(valve.many.get("actuation", ()))
    switched = "solenoid" in said and "proportional" not in said and "servo" not in said
    coils = [name for name in valve.positions if name in ("a", "b")]
    if not switched or not coils:
        return [(valve, "")]
    return [(valve, name) for name in coils if name != valve.rest]


def _cell(valve: Part, letter: str, step: Step) -> str:
    orders = step.orders.get(valve.name)
    position = orders.position if orders and orders.position else valve.rest
    if letter:
        return ON if position == letter else ""
    if orders and orders.opening != 1.0 and position != valve.rest:
        return f"{position} {100 * orders.opening:.0f} %"
    return position


def parts_table(circuit: Circuit) -> Table:
    """Give the list of parts: code, kind, data; the lines with a size at its end."""
    parts = [part for part in circuit.parts.values() if part.kind.word != "line"]
    rows = [(part.name, part.kind.word, ", ".join(data_lines(part, circuit))) for part in parts]
    sizes: dict[str, int] = {}
    for part in circuit.of_kind("line"):
        if hose_label(part):
            sizes[hose_label(part)] = sizes.get(hose_label(part), 0) + 1
    rows += [("", "line" if n == 1 else f"{n} lines", size) for size, n in sizes.items()]
    return Table("parts", ("Code", "Component", "Data"), tuple(rows))


def letters_table(circuit: Circuit, written: Mapping[str, Collection[str]]) -> Table:
    """Give what port letters mean that are not those of ISO 9461, by the kinds that have them.

    ``written`` are the letters on the symbol of each part.
    """
    rows: dict[tuple[str, str], None] = {}
    for part in circuit.parts.values():
        for port in part.ports:
            if port.letter in written.get(part.name, ()) and port.letter not in _KNOWN:
                rows[(f"{part.kind.word} {port.letter}", port.text)] = None
    return Table("letters", ("Letter", "Meaning"), tuple(rows))


def drawn_table(table: Table, x: float, y: float) -> tuple[tuple[Shape, ...], Box]:
    """Draw a table with its upper left corner at x, y; also give its box [M]."""
    widths = _widths(table)
    edges = [x]
    for width in widths:
        edges.append(edges[-1] + width)
    bottom = y + _HIGH * (1 + len(table.rows))
    shapes: list[Shape] = [Polygon(((x, y), (edges[-1], y), (edges[-1], bottom), (x, bottom)))]
    shapes += [Line(((edge, y), (edge, bottom))) for edge in edges[1:-1]]
    for place in range(1, len(table.rows) + 1):
        level = y + _HIGH * place
        shapes.append(Line(((x, level), (edges[-1], level))))
    for place, row in enumerate((table.heads, *table.rows)):
        shapes += _row(row, edges, y + _HIGH * (place + 0.5), bold=place == 0)
    return tuple(shapes), (x, y, edges[-1], bottom)


def _widths(table: Table) -> list[float]:
    found = []
    for place, head in enumerate(table.heads):
        texts = [text_width(row[place], _SIZE) for row in table.rows]
        found.append(max([text_width(head, _SIZE, bold=True), *texts]) + 2 * _PAD)
    return found


def _row(row: Sequence[str], edges: list[float], y: float, *, bold: bool) -> Iterable[Shape]:
    for text, left, right in zip(row, edges, edges[1:], strict=False):
        if text == ON:
            yield Text(((left + right) / 2, y), text, _SIZE, "middle", bold)
        elif text:
            yield Text((left + _PAD, y), text, _SIZE, "start", bold)
