"""A circuit to the netlist of its drawing: symbols chosen, hoses merged, values picked."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace
from typing import TYPE_CHECKING, Literal, cast, get_args
from urllib.parse import quote

from circuitcheck.basics.quantities import show, unit_label
from circuitcheck.circuit.model import BlockUse, Circuit, End
from circuitcheck.components._parts import Part
from circuitcheck.schematic.descriptions import data_lines, hose_label
from circuitcheck.schematic.net_kinds import net_kinds
from circuitcheck.schematic.netlist import Enclosure, Hint, Item, Net, Netlist, Pin, Relation, Value
from circuitcheck.schematic.seen import seen_in
from circuitcheck.schematic.tables import Table, parts_table, step_table
from circuitcheck.symbols import Look, Symbol, all_symbols

if TYPE_CHECKING:
    from circuitcheck.solver.operating import OperatingPoint

HELD = "held by leakage"
"""Status of a closed volume, as the solver names it."""

_BOTH, _PRESSURE, _FLOW = (True, True), (True, False), (False, True)
_SHOWN: dict[str, tuple[tuple[str, tuple[bool, bool]], ...]] = {
    "pump": (("P", _BOTH), ("A", _BOTH), ("B", _PRESSURE), ("X", _PRESSURE)),
    "hand pump": (("P", _BOTH),),
    "cylinder": (("cap", _BOTH), ("rod", _BOTH)),
    "telescopic cylinder": (("cap", _BOTH), ("rod", _BOTH)),
    "motor": (("A", _BOTH), ("B", _PRESSURE)),
    "rotary actuator": (("A", _BOTH), ("B", _PRESSURE)),
    "intensifier": (("H", _BOTH),),
    "brake": (("R", _PRESSURE),),
    "relief": (("P", _FLOW),),
    "port relief": (("T", _FLOW),),
    "bypass flow control": (("out", _FLOW), ("T", _FLOW)),
    "flow divider": (("A", _FLOW), ("B", _FLOW)),
    "priority valve": (("CF", _FLOW), ("EF", _FLOW)),
    "unloading valve": (("T", _FLOW),),
    "accumulator": (("P", _PRESSURE),),
    "section": (("LS", _PRESSURE),),
}
"""Kind -> ports beside which a step's values stand, and which: pressure, flow."""
_SMALL_PORTS = ("L", "L1", "Y", "X")
"""Drain and pilot ports: a common hose is named at a main port rather than there."""
_LEAST_FLOW = 1.7e-6
"""Flows below are leakage and written as 0 [m3/s] (0.1 L/min; our own choice)."""

_LEAST_PRESSURE = 1e3
"""Pressures below are no more than rounding on a sheet and written as 0 [Pa] (our own choice)."""


Extra = Literal["colours", "positions", "steps", "parts", "links"]
"""What a sheet may show beside the circuit: the figures of the step in colour, valves in the
position of the step, the table of steps, the list of parts, links to lines of the text."""
_DRAWN_PUSHED = ("valve", "bank section")
"""Kinds that can be drawn in another position than at rest."""


def from_circuit(
    circuit: Circuit, point: OperatingPoint | None = None, extras: Collection[Extra] = ()
) -> Netlist:
    """Give the netlist of a circuit's schematic, with the values of a solved step if given.

    A sized hose or tube becomes part of a drawn line and gives it its label. Colours and
    positions need a step: without one they are left out.
    """
    stands = _stands(circuit, point) if "positions" in extras else {}
    parts = {name: part for name, part in circuit.parts.items() if part.kind.word != "line"}
    items = tuple(
        Item(
            name,
            part.kind.word,
            symbol_of(part, circuit, stands.get(name, "")),
            (*data_lines(part), *_reading(circuit, part, point)),
            order,
            room_for=_widest_reading(circuit) if part.kind.word == "gauge" and point else "",
            link=_link(circuit, part) if "links" in extras else "",
        )
        for order, (name, part) in enumerate(parts.items())
    )
    pins, labels = _merged(circuit)
    kinds = net_kinds(pins, parts)
    nets = [
        Net(name, kinds[name], tuple(ends), labels.get(name, "")) for name, ends in pins.items()
    ]
    values = tuple(_values(circuit, point)) if point is not None else ()
    return Netlist(
        items,
        (*nets, *_shafts(parts)),
        tuple(_hints(circuit)),
        values,
        tuple(_title_rows(circuit, point, pushed=bool(stands))),
        tuple(_enclosures(circuit, parts)),
        seen_in(circuit, point) if point is not None and "colours" in extras else None,
        tuple(_tables(circuit, point, extras)),
        hoses=tuple(_tank_hoses(circuit)),
    )


def _stands(circuit: Circuit, point: OperatingPoint | None) -> dict[str, str]:
    """Give the position in which each valve stands in a step, where it is not at rest."""
    orders = point.step.orders if point is not None else {}
    return {
        name: said.position
        for name, said in orders.items()
        if name in circuit.parts
        and circuit.parts[name].kind.word in _DRAWN_PUSHED
        and said.position in circuit.parts[name].positions
    }


def _link(circuit: Circuit, part: Part) -> str:
    """Lead to the line of the text that gives a part."""
    file = part.place.file or circuit.file
    return f"{quote(file)}#L{part.place.line}" if file and part.place.line else ""


def _tables(
    circuit: Circuit, point: OperatingPoint | None, extras: Collection[Extra]
) -> Iterable[Table]:
    steps = step_table(circuit, point.step.name if point else "")
    if "steps" in extras and steps is not None:
        yield steps
    if "parts" in extras:
        yield parts_table(circuit)


def symbol_of(part: Part, circuit: Circuit, shown: str = "") -> Symbol:
    """Choose and draw the symbol of a part; KeyError if its kind has none."""
    letters = tuple(port.letter for port in part.ports)
    if part.kind.word == "tank":
        letters = ("T",)
    said = {**part.choices, **{group: ", ".join(p) for group, p in part.many.items()}}
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
    )
    return all_symbols()[part.kind.word](look)


def _merged(circuit: Circuit) -> tuple[dict[str, list[Pin]], dict[str, str]]:
    """Join junctions over hoses and tubes; give pins and label of each drawn net."""
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
    return {name: ends for name, ends in pins.items() if ends}, labels


def _tank_hoses(circuit: Circuit) -> Iterable[Value]:
    """Give the size of each hose to a tank at the port it comes from, a main one if it can be."""
    for part in circuit.of_kind("line"):
        ends = [circuit.junction_of(part.name, end) for end in ("start", "end")]
        names = [{e.part for e in junction.ends} if junction else set() for junction in ends]
        at_tank = [any(circuit.parts[n].kind.word == "tank" for n in found) for found in names]
        label = hose_label(part)
        if not label or at_tank[0] == at_tank[1]:
            continue
        near = ends[at_tank.index(False)]
        pins = [_pin(end, circuit) for end in near.ends if _drawn(end, circuit)] if near else []
        if pins:
            item, port = min(pins, key=lambda pin: pin[1] in _SMALL_PORTS)
            yield Value(item, port, label)


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


def _enclosures(circuit: Circuit, drawn: dict[str, Part]) -> Iterable[Enclosure]:
    """Give one outline for every block, round its parts and those of blocks inside it."""
    for block in circuit.blocks:
        items = tuple(name for name in block.parts if name in drawn)
        if items:
            yield Enclosure(block.name, f"{block.name} {block.block}", items)


def _hints(circuit: Circuit) -> Iterable[Hint]:
    """Give the wishes of the text that concern drawn components."""
    drawn = {name for name, part in circuit.parts.items() if part.kind.word != "line"}
    blocks = {block.name: _stands_for(block, circuit) for block in circuit.blocks}
    for given in circuit.hints:
        named = tuple(blocks.get(name, name) for name in (given.subject, *given.objects))
        hint = replace(given, subject=named[0], objects=named[1:])
        if hint.relation in get_args(Relation) and set(named) <= drawn and hint.objects:
            third = hint.objects[1] if len(hint.objects) > 1 else ""
            yield Hint(hint.subject, cast(Relation, hint.relation), hint.objects[0], third)


def _stands_for(block: BlockUse, circuit: Circuit) -> str:
    """Give the part by which a hint about a block is heeded: its valve, else its first part."""
    parts = [circuit.parts[name] for name in block.parts]
    valves = [part.name for part in parts if part.positions]
    return next(iter([*valves, *block.parts]), block.name)


def _title_rows(
    circuit: Circuit, point: OperatingPoint | None, *, pushed: bool = False
) -> Iterable[str]:
    """Write issue, oil, shown step and units for the title block."""
    if circuit.issue:
        yield f"Issue {circuit.issue}"
    yield f"Oil {circuit.oil.name}"
    if point is not None:
        pressure = unit_label("pressure", circuit.units)
        flow = unit_label("flow", circuit.units)
        yield f"Values of step {point.step.name}, {pressure} gauge and {flow}"
        if any(state.status == HELD for state in point.junctions.values()):
            yield "In brackets: held by leakage alone"
        if pushed:
            yield "Valves drawn in the position of this step"
    else:
        yield "Drawn at rest"


def _values(circuit: Circuit, point: OperatingPoint) -> Iterable[Value]:
    """Write pressure and flow of a step beside the ports that matter, each net once."""
    seen: set[str] = set()
    for name, part in circuit.parts.items():
        ports = point.parts[name].ports if name in point.parts else {}
        for letter, (with_pressure, with_flow) in _SHOWN.get(part.kind.word, ()):
            junction = circuit.junction_of(name, letter)
            if junction is None or letter not in ports:
                continue
            if with_pressure and junction.name not in seen:
                seen.add(junction.name)
                yield Value(name, letter, _pressure(circuit, point, junction.name))
            if with_flow:
                flow = abs(ports[letter].flow)
                shown = show(flow if flow > _LEAST_FLOW else 0.0, "flow", circuit.units)
                yield Value(name, letter, shown)


def _reading(circuit: Circuit, part: Part, point: OperatingPoint | None) -> tuple[str, ...]:
    """Write what a pressure gauge reads in a step."""
    junction = circuit.junction_of(part.name, "M")
    if point is None or part.kind.word != "gauge" or junction is None:
        return ()
    return (f"reads {_pressure(circuit, point, junction.name)}",)


def _widest_reading(circuit: Circuit) -> str:
    """Give the widest text that a gauge may get, in any step."""
    return f"reads (88.88 {unit_label('pressure', circuit.units)})"


def _pressure(circuit: Circuit, point: OperatingPoint, junction: str) -> str:
    """Write a pressure, in brackets if only leakage decides it."""
    state = point.junctions[junction]
    little = abs(state.pressure) < _LEAST_PRESSURE
    text = show(0.0 if little else state.pressure, "pressure", circuit.units)
    return f"({text})" if state.status == HELD else text
