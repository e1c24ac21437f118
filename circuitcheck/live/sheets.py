"""Drawings of steps for the page: laid out once, then only written anew as figures change."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, replace
from typing import Any

import networkx as nx

from circuitcheck import schematic
from circuitcheck.basics.shapes import Shape, Text
from circuitcheck.circuit.model import Circuit
from circuitcheck.schematic import Drawing, Extra, Group, Netlist, NotDrawable, to_svg
from circuitcheck.schematic.bodies import Body
from circuitcheck.schematic.colours import loss_colour, pressure_colour
from circuitcheck.schematic.fonts import text_width
from circuitcheck.schematic.netlist import Item
from circuitcheck.schematic.placing import Layout
from circuitcheck.schematic.seen import Seen
from circuitcheck.schematic.sheet import compose
from circuitcheck.schematic.values import Note, name_tank_hoses, place_notes
from circuitcheck.solver.operating import OperatingPoint

Json = dict[str, Any]
LARGE, PER_SHEET, MOST = 60, 24, 90
"""Parts from which a drawing is broken into sheets, parts of such a sheet, and most of one that
cannot be broken; own choice: each is drawn in the time that a person waits."""
_TOO_LARGE = "this circuit cannot be broken into sheets of a size that is drawn at once"
MOST_KEPT = 24
_GROWN = 1.5
"""How much wider a line of text may be than the one it takes the place of [M]; own choice."""
_LABEL = 1.4
"""Font size of the data beside parts [M]."""
_INTO_MARGIN = 3.0
"""How much of the margin of a sheet is cut off on a page [M]."""
_SHADES = 8
"""Colours by which a scale is shown."""


@dataclass(frozen=True)
class Drawn:
    """A netlist and its drawing."""

    netlist: Netlist
    drawing: Drawing


def draw_sheet(
    circuit: Circuit,
    point: OperatingPoint,
    positions: bool,
    colours: bool,
    number: int,
    kept: OrderedDict[str, Drawn],
) -> Json:
    """Draw a step: the SVG, and which of its groups is which part, line and value.

    Parameters
    ----------
    positions, colours
        Whether valves stand as they do in the step, and lines bear their pressure
    number
        The sheet wanted, from 0, where the drawing is broken into several
    kept
        Drawings made before; one of the same parts and lines lends its layout
    """
    wanted: dict[Extra, bool] = {"positions": positions, "colours": colours}
    extras = [extra for extra, asked in wanted.items() if asked]
    whole = schematic.from_circuit(circuit, point if point.success else None, extras)
    sheets = _sheets(whole)
    number = min(max(number, 0), len(sheets) - 1)
    on = {item.id: k for k, sheet in enumerate(sheets) for item in sheet.items}
    about: Json = {"sheets": len(sheets), "sheet": number, "on": on if len(sheets) > 1 else {}}
    if len(sheets[number].items) > MOST:
        return {**about, "svg": "", "refused": _TOO_LARGE}
    try:
        drawn, notes = _drawn(sheets[number], kept)
    except NotDrawable as problem:
        return {**about, "svg": "", "refused": f"no sound drawing was found: {problem}"}
    return {**about, **_written(circuit, drawn, notes), "notices": list(drawn.drawing.notices)}


def _sheets(whole: Netlist) -> list[Netlist]:
    """Break what is large into sheets: machines that have nothing in common, then branches."""
    if len(whole.items) <= LARGE:
        return schematic.split(whole)
    joined: nx.Graph[str] = nx.Graph()
    joined.add_nodes_from(item.id for item in whole.items)
    for net in whole.nets:
        nx.add_path(joined, [item for item, _ in net.pins])
    machines = [_with(whole, frozenset(names)) for names in nx.connected_components(joined)]
    return [
        sheet
        for machine in machines
        for sheet in schematic.split(machine, PER_SHEET if len(machine.items) > LARGE else None)
    ]


def _with(whole: Netlist, names: frozenset[str]) -> Netlist:
    """Give what of a netlist stands with these items alone."""
    return replace(
        whole,
        items=tuple(item for item in whole.items if item.id in names),
        nets=tuple(net for net in whole.nets if net.pins[0][0] in names),
        hints=tuple(hint for hint in whole.hints if names.issuperset(hint.items)),
        values=tuple(value for value in whole.values if value.item in names),
        hoses=tuple(value for value in whole.hoses if value.item in names),
        enclosures=tuple(one for one in whole.enclosures if names.issuperset(one.items)),
    )


def _drawn(netlist: Netlist, kept: OrderedDict[str, Drawn]) -> tuple[Drawn, list[Note]]:
    """Give the drawing of a netlist, on the layout of one kept where that serves."""
    for key, before in kept.items():
        if _fits(before.netlist, netlist):
            layout = _rewritten(before.drawing.layout, netlist)
            notes, homeless = _notes(layout, netlist)
            if not homeless:
                kept.move_to_end(key)
                renewed = replace(before.drawing, layout=layout, seen=netlist.seen)
                return Drawn(netlist, renewed), notes
    drawing = schematic.draw(netlist, "")
    found = Drawn(netlist, drawing)
    kept[f"{id(found)}"] = found
    if len(kept) > MOST_KEPT:
        kept.popitem(last=False)
    return found, list(drawing.notes)


def _notes(layout: Layout, netlist: Netlist) -> tuple[list[Note], list[str]]:
    """Place values and line sizes on a layout; also name those without room."""
    taken = [box for body in layout.bodies.values() for box in body.boxes()]
    notes, homeless = place_notes(layout, netlist.values, taken)
    hoses, _ = name_tank_hoses(layout, taken)
    return notes + hoses, homeless


def _fits(before: Netlist, now: Netlist) -> bool:
    """Whether a drawing differs in nothing but figures that need no more room."""
    if len(before.items) != len(now.items) or before.hints != now.hints:
        return False
    if (before.hoses, before.enclosures, before.sheet) != (now.hoses, now.enclosures, now.sheet):
        return False
    nets = ([(n.id, n.kind, n.pins, bool(n.label)) for n in one.nets] for one in (before, now))
    return next(nets) == next(nets) and all(map(_alike, before.items, now.items))


def _alike(before: Item, now: Item) -> bool:
    same = (before.id, before.kind, len(before.lines)) == (now.id, now.kind, len(now.lines))
    return same and before.symbol == now.symbol and all(map(_has_room, before.lines, now.lines))


def _has_room(before: str, now: str) -> bool:
    reads = before.startswith("reads ") and now.startswith("reads ")  # room is kept for it
    return reads or text_width(now, _LABEL) <= text_width(before, _LABEL) + _GROWN


def _rewritten(layout: Layout, netlist: Netlist) -> Layout:
    """Give a layout with the texts of another netlist."""
    now = {item.id: item for item in netlist.items}
    before = {body.id: body.item for body in layout.bodies.values()}
    before |= {tank.id: tank for tanks in layout.case.tanks.values() for tank in tanks.values()}
    nets = {net.id: net for net in netlist.nets}
    return replace(
        layout,
        bodies={name: _body(body, before, now) for name, body in layout.bodies.items()},
        lines=[replace(line, net=nets.get(line.net.id, line.net)) for line in layout.lines],
    )


def _body(body: Body, before: dict[str, Item], now: dict[str, Item]) -> Body:
    if body.id not in now:
        return body
    words: dict[str, str] = {}
    for name in (*(mark.tank for mark in body.marks), body.id):
        words |= dict(zip(before[name].lines, now[name].lines, strict=True))
    label: tuple[Shape, ...] = tuple(
        replace(shape, content=words.get(shape.content, shape.content))
        if isinstance(shape, Text)
        else shape
        for shape in body.label
    )
    return replace(body, item=now[body.id], label=label)


def _written(circuit: Circuit, drawn: Drawn, notes: list[Note]) -> Json:
    """Write a drawing as SVG whose groups can be found: parts p0, lines n0, values v0 ..."""
    drawing = drawn.drawing
    groups, _ = compose(drawing.layout, notes, None, drawing.outlines, drawing.seen)
    # the legend is the page's, and so is most of the margin
    _, (x0, y0, x1, y1) = compose(drawing.layout, notes, None, drawing.outlines)
    box = (x0 + _INTO_MARGIN, y0 + _INTO_MARGIN, x1 - _INTO_MARGIN, y1 - _INTO_MARGIN)
    named: list[Group] = []
    parts: dict[str, str] = {}
    nets: dict[str, str] = {}
    for group in groups:
        sort, _, name = group.id.partition("-")
        known = {"part": parts, "net": nets}.get(sort)
        if known is not None:
            known[name] = f"{sort[0]}{len(known)}"
            named.append(Group(known[name], group.shapes, about=group.about))
        elif group.id not in ("values", "legend"):
            named.append(group)
    values = {note.owner: f"v{k}" for k, note in enumerate(notes) if "." in note.owner}
    named += [Group(f"v{k}", note.shapes) for k, note in enumerate(notes)]
    about = f"Hydraulic circuit diagram with {', '.join(parts)}."
    return {
        "svg": to_svg(named, box, circuit.title, about),
        "parts": parts,
        "nets": {
            net.id: {
                "group": nets[net.id],
                "kind": net.kind.replace("_", " "),
                "label": net.label,
                "pins": [list(pin) for pin in net.pins],
            }
            for net in drawn.netlist.nets
            if net.id in nets
        },
        "values": values,
        "scales": _scales(drawing.seen),
        "hoses": _hoses(circuit, drawn.netlist),
    }


def _scales(seen: Seen | None) -> list[Json]:
    """Give the scales of pressure and loss: their texts, and colours from low to high."""
    if seen is None or not seen.scales:
        return []
    shares = [k / (_SHADES - 1) for k in range(_SHADES)]
    return [
        {"name": name, "ends": [ends[0], ends[2]], "colours": [colour(s) for s in shares]}
        for name, ends, colour in (
            ("Pressure", seen.scales[0], pressure_colour),
            ("Power lost", seen.scales[2], loss_colour),
        )
    ]


def _hoses(circuit: Circuit, netlist: Netlist) -> dict[str, list[str]]:
    """Name the sized lines that are part of each drawn one."""
    of = {pin: net.id for net in netlist.nets for pin in net.pins}
    found: dict[str, list[str]] = {}
    for line in circuit.of_kind("line"):
        ends = [circuit.junction_of(line.name, end) for end in ("start", "end")]
        pins = [(end.part, end.port) for junction in ends if junction for end in junction.ends]
        net = next((of[pin] for pin in pins if pin in of), None)
        if net is not None:
            found.setdefault(net, []).append(line.name)
    return found
