"""A circuit to the netlist of its drawing: symbols chosen, hoses merged, values picked."""

from __future__ import annotations

import os
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Literal, cast, get_args
from urllib.parse import quote

from circuitcheck.basics.quantities import show, unit_label
from circuitcheck.basics.shapes import Text
from circuitcheck.circuit.model import BlockUse, Circuit, End
from circuitcheck.components._parts import Part
from circuitcheck.schematic.descriptions import data_lines, hose_label
from circuitcheck.schematic.net_kinds import net_kinds
from circuitcheck.schematic.netlist import (
    NUMBERED,
    ROLE_OF_KIND,
    Enclosure,
    Hint,
    Item,
    Net,
    Netlist,
    Pin,
    Relation,
    Value,
)
from circuitcheck.schematic.pilot_leads import dashed_ports
from circuitcheck.schematic.readings import HELD, reading, values_of, widest_reading
from circuitcheck.schematic.seen import seen_in
from circuitcheck.schematic.stands import how_throttling_looks, places_in, positions_in, words_in
from circuitcheck.schematic.tables import Table, letters_table, parts_table, step_table
from circuitcheck.schematic.title_block import title_fields
from circuitcheck.symbols import Look, Symbol, all_symbols

if TYPE_CHECKING:
    from circuitcheck.solver.operating import OperatingPoint

_SMALL_PORTS = ("L", "L1", "Y", "X")
"""Drain and pilot ports: a common hose is named at the main ports rather than there."""
Extra = Literal["colours", "positions", "steps", "parts", "links", "short"]
"""What a sheet may show beside the circuit: the figures of the step in colour, valves in the
position of the step, the table of steps, the list of parts, links to lines of the text; and
controls of pumps in short form (also by ``drawing short`` in the text)."""
_SHORT = "short"


def from_circuit(
    circuit: Circuit, point: OperatingPoint | None = None, extras: Collection[Extra] = ()
) -> Netlist:
    """Give the netlist of a circuit's schematic, with the values of a solved step if given.

    A sized hose or tube becomes part of a drawn line and gives it its label. Colours and
    positions need a step: without one they are left out.
    """
    short = _SHORT in extras or _SHORT in circuit.sheet.split(", ")
    shown = point if "positions" in extras else None
    stands = positions_in(circuit, shown) if shown is not None else {}
    places = places_in(circuit, shown) if shown is not None else {}
    parts = {name: part for name, part in circuit.parts.items() if part.kind.word != "line"}
    leader, pins, labels = _merged(circuit)
    kinds = net_kinds(pins, parts)
    sized = set(_sized(circuit))
    nets = [
        Net(name, kinds[name], tuple(ends), labels.get(name, ""), frozenset(ends) - sized)
        for name, ends in pins.items()
    ]
    dashed = dashed_ports(nets, parts)
    items = tuple(
        Item(
            name,
            part.kind.word,
            symbol_of(part, circuit, stands.get(name, ""), places.get(name), short=short).dashed_at(
                dashed.get(name, frozenset())
            ),
            (*data_lines(part, circuit), *reading(circuit, part, point), *_said(part, shown)),
            order,
            room_for=widest_reading(circuit, part) if point else "",
            link=_link(circuit, part) if "links" in extras else "",
        )
        for order, (name, part) in enumerate(parts.items())
    )
    values = tuple(values_of(circuit, point)) if point is not None else ()
    return Netlist(
        items,
        (*nets, *_shafts(parts)),
        tuple(_hints(circuit)),
        values,
        tuple(_title_rows(circuit, point, stands if shown is not None else None, short=short)),
        tuple(_enclosures(circuit, parts, leader)),
        seen_in(circuit, point) if point is not None and "colours" in extras else None,
        tuple(_tables(circuit, items, point, extras)),
        fields=title_fields(circuit.title_block, circuit.issue),
        hoses=tuple(_tank_hoses(circuit)),
    )


def _link(circuit: Circuit, part: Part) -> str:
    """Lead to the line of the text that gives a part."""
    file = part.place.file or circuit.file
    return f"{quote(os.fsencode(file))}#L{part.place.line}" if file and part.place.line else ""


def _tables(
    circuit: Circuit,
    items: Iterable[Item],
    point: OperatingPoint | None,
    extras: Collection[Extra],
) -> Iterable[Table]:
    steps = step_table(circuit, point.step.name if point else "")
    if "steps" in extras and steps is not None:
        yield steps
    if "parts" in extras:
        yield parts_table(circuit)
        letters = letters_table(circuit, {item.id: _letters(item.symbol) for item in items})
        if letters.rows:
            yield letters


def _letters(symbol: Symbol) -> set[str]:
    return {shape.content for shape in symbol.shapes if isinstance(shape, Text)}


def symbol_of(
    part: Part,
    circuit: Circuit,
    shown: str = "",
    place: float | None = None,
    *,
    short: bool = False,
) -> Symbol:
    """Choose and draw the symbol of a part; KeyError if its kind has none."""
    letters = tuple(port.letter for port in part.ports)
    if part.kind.word == "tank":
        letters = ("T",)
    said = {**part.choices, **{group: ", ".join(p) for group, p in part.many.items()}}
    if short:
        said["form"] = "short form"
    if part.kind.word == "motor":
        driven = any(other.driven_by == part.name for other in circuit.parts.values())
        said["shaft"] = "driving" if driven else "free"
    look = Look(
        choices=said,
        ports=letters,
        positions=dict(part.positions),
        rest=part.rest,
        actuation=part.many.get("actuation", ()),
        has=frozenset(name for name in part.figures if part.given(name)),
        shown=shown,
        place=place,
    )
    return all_symbols()[part.kind.word](look)


def _merged(circuit: Circuit) -> tuple[dict[str, str], dict[str, list[Pin]], dict[str, str]]:
    """Join junctions over hoses and tubes; give the net of each, pins and label of each net."""
    leader = {name: name for name in circuit.junctions}

    def lead(name: str) -> str:
        while leader[name] != name:
            name = leader[name]
        return name

    hoses: list[tuple[str, Part]] = []
    for part in circuit.of_kind("line"):
        near = circuit.junction_of(part.name, "start")
        far = circuit.junction_of(part.name, "end")
        if near is not None and far is not None:
            hoses.append((near.name, part))
            if lead(near.name) != lead(far.name):
                leader[lead(far.name)] = lead(near.name)
    pins: dict[str, list[Pin]] = {}
    for junction in circuit.junctions.values():
        ends = [_pin(end, circuit) for end in junction.ends if _drawn(end, circuit)]
        pins.setdefault(lead(junction.name), []).extend(ends)
    labels: dict[str, str] = {}
    for name, part in hoses:
        label = hose_label(part)
        if label and label not in labels.get(lead(name), ""):
            before = labels.get(lead(name), "")
            labels[lead(name)] = f"{before}, {label}" if before else label
    nets = {name: lead(name) for name in circuit.junctions}
    return nets, {name: ends for name, ends in pins.items() if ends}, labels


def _sized(circuit: Circuit) -> Iterable[Pin]:
    """Give the pins to which a hose or tube leads by its own sentence."""
    for run in circuit.runs:
        if run.part:
            yield from (_pin(end, circuit) for end in (*run.starts, *run.stops))
            for name in run.through:
                yield from ((name, port.letter) for port in circuit.parts[name].ports)


def _tank_hoses(circuit: Circuit) -> Iterable[Value]:
    """Give the size of each hose to a tank at the ports it comes from, each with a mark there.

    Drains that share the hose of a main port are left out.
    """
    for part in circuit.of_kind("line"):
        ends = [circuit.junction_of(part.name, end) for end in ("start", "end")]
        names = [{e.part for e in junction.ends} if junction else set() for junction in ends]
        at_tank = [any(circuit.parts[n].kind.word == "tank" for n in found) for found in names]
        label = hose_label(part)
        if not label or at_tank[0] == at_tank[1]:
            continue
        near = ends[at_tank.index(False)]
        pins = [_pin(end, circuit) for end in near.ends if _drawn(end, circuit)] if near else []
        sized = [pin for pin in pins if not _reads(circuit.parts[pin[0]])]
        for item, port in [pin for pin in sized if pin[1] not in _SMALL_PORTS] or pins[:1]:
            yield Value(item, port, label)


def _reads(part: Part) -> bool:
    """Tell whether a part is an instrument: a hose that it stands at is not its own."""
    return ROLE_OF_KIND.get(part.kind.word) == "instrument"


def _drawn(end: End, circuit: Circuit) -> bool:
    return circuit.parts[end.part].kind.word != "line"


def _pin(end: End, circuit: Circuit) -> Pin:
    tank = circuit.parts[end.part].kind.word == "tank"
    return (end.part, "T" if tank else end.port)


def _shafts(parts: dict[str, Part]) -> Iterable[Net]:
    """Give one shaft net for every part that drives others."""
    for name in parts:
        driven = [other for other, part in parts.items() if part.driven_by == name]
        if driven:
            # what is itself driven has a second shaft end, towards what it drives
            own = "shaft out" if parts[name].kind.driven else "shaft"
            pins = ((name, own), *((item, "shaft") for item in driven))
            yield Net(f"shaft-{name}", "shaft", pins)


def _enclosures(
    circuit: Circuit, drawn: dict[str, Part], net_of: Mapping[str, str]
) -> Iterable[Enclosure]:
    """Give one outline for every block, round its parts and those of blocks inside it."""
    for block in circuit.blocks:
        items = tuple(name for name in block.parts if name in drawn)
        ports = tuple((letter, net_of[at]) for letter, at in block.ports.items() if at)
        if items:
            yield Enclosure(block.name, f"{block.name} {block.block}", items, ports)


def _hints(circuit: Circuit) -> Iterable[Hint]:
    """Give the wishes of the text that concern drawn components."""
    drawn = {name for name, part in circuit.parts.items() if part.kind.word != "line"}
    blocks = {block.name: _stands_for(block, circuit) for block in circuit.blocks}
    for given in circuit.hints:
        named = tuple(blocks.get(name, name) for name in (given.subject, *given.objects))
        hint = replace(given, subject=named[0], objects=named[1:])
        if hint.relation in NUMBERED and named[0] in drawn:
            yield Hint(hint.subject, hint.relation, hint.objects[0])
        elif hint.relation in get_args(Relation) and set(named) <= drawn and hint.objects:
            third = hint.objects[1] if len(hint.objects) > 1 else ""
            yield Hint(hint.subject, cast(Relation, hint.relation), hint.objects[0], third)


def _stands_for(block: BlockUse, circuit: Circuit) -> str:
    """Give the part by which a hint about a block is heeded: its valve, else its first part."""
    parts = [circuit.parts[name] for name in block.parts]
    valves = [part.name for part in parts if part.positions]
    return next(iter([*valves, *block.parts]), block.name)


def _title_rows(
    circuit: Circuit,
    point: OperatingPoint | None,
    stands: Mapping[str, str] | None,
    *,
    short: bool,
) -> Iterable[str]:
    """Write oil, shown step and units for the title block, and how to read positions."""
    inch = circuit.units.get("pressure") == "psi"
    warm = show(circuit.oil_degC, "temperature", "inch" if inch else circuit.units)
    yield f"Oil {circuit.oil.name}, {warm}"
    if point is not None:
        pressure = unit_label("pressure", circuit.units)
        flow = unit_label("flow", circuit.units)
        yield f"Values of step {point.step.name}, {pressure} gauge and {flow}"
        if any(state.status == HELD for state in point.junctions.values()):
            yield "In brackets: held by leakage alone"
        if stands is None:
            yield "Valves and rods drawn at rest"
            return
        yield "Valves and rods drawn as they stand in this step"
        looks = ", ".join(how_throttling_looks(circuit, stands, short=short))
        if looks:
            yield f"{looks[0].upper()}{looks[1:]}: throttling"
    else:
        yield "Drawn at rest"


def _said(part: Part, shown: OperatingPoint | None) -> tuple[str, ...]:
    return words_in(part, shown) if shown is not None else ()
