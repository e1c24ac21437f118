"""Lines that go on on another sheet: the marks name the field of the grid where they do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from circuitcheck.schematic.bodies import Body, label_at
from circuitcheck.schematic.drawing import Drawing
from circuitcheck.schematic.netlist import GOES_DOWN, GOES_UP
from circuitcheck.schematic.sheets import mark_text


def refer_to_fields(drawings: Sequence[Drawing], paper: str) -> list[Drawing]:
    """Give the sheets of one circuit with sheet and field beside every line that goes on.

    ``paper`` is the framed sheet of all of them, as for ``Drawing.svg``.
    """
    fields: dict[str, dict[int, str]] = {}
    for number, drawing in enumerate(drawings, 1):
        for name in _marks(drawing):
            fields.setdefault(name, {})[number] = drawing.field_of(name, paper)
    return [
        _named(drawing, {name: _others(fields[name], number) for name in _marks(drawing)})
        for number, drawing in enumerate(drawings, 1)
    ]


def _others(fields: dict[int, str], number: int) -> dict[int, str]:
    return {sheet: field for sheet, field in fields.items() if sheet != number}


def _marks(drawing: Drawing) -> list[str]:
    return [i for i, b in drawing.layout.bodies.items() if b.item.kind in (GOES_UP, GOES_DOWN)]


def _named(drawing: Drawing, fields: dict[str, dict[int, str]]) -> Drawing:
    bodies = {
        i: _relabelled(body, mark_text(fields[i])) if i in fields else body
        for i, body in drawing.layout.bodies.items()
    }
    return replace(drawing, layout=replace(drawing.layout, bodies=bodies))


def _relabelled(body: Body, text: str) -> Body:
    """Write a mark's text anew; the room for it was kept when the sheet was laid out."""
    x, y = body.label_box[:2] if body.label_box else body.middle()
    shapes, _ = label_at(body.id, (text,), x, y)
    return replace(body, item=replace(body.item, lines=(text,)), label=shapes)
