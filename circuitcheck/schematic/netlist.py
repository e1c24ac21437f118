"""What the layout works on: items with symbols, nets, hints and values; no circuit needed."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from circuitcheck.symbols import Symbol

if TYPE_CHECKING:
    from circuitcheck.schematic.seen import Seen
    from circuitcheck.schematic.tables import Table

NetKind = Literal[
    "pressure", "return", "suction", "work", "pilot", "load_sense", "drain", "charge", "shaft"
]
Role = Literal[
    "tank", "drive", "pump", "pressure_control", "check", "conditioner", "instrument",
    "accumulator", "compensator", "valve", "line_part", "shuttle", "actuator", "load", "goes_on",
]  # fmt: skip
Relation = Literal[
    "above", "below", "left of", "right of", "beside", "between", "column", "sheet", "turned"
]
NUMBERED: frozenset[Relation] = frozenset({"column", "sheet", "turned"})
"""Relations that name a number instead of another item."""
Pin = tuple[str, str]
"""Item id and port letter."""

DASHED_KINDS: frozenset[NetKind] = frozenset({"pilot", "load_sense", "drain"})
CONTROL_KINDS: frozenset[NetKind] = DASHED_KINDS | {"shaft"}
"""Kinds of lines that do not order the sheet."""
STANDING: tuple[Role, ...] = ("instrument", "accumulator")
"""Roles that stand at a line, wherever there is room."""

ROLE_OF_KIND: dict[str, Role] = {
    "tank": "tank",
    "electric motor": "drive",
    "engine": "drive",
    "pump": "pump",
    "hand pump": "pump",
    "relief": "pressure_control",
    "unloading valve": "pressure_control",
    "port relief": "pressure_control",
    "check": "check",
    "filter": "conditioner",
    "strainer": "conditioner",
    "cooler": "conditioner",
    "heater": "conditioner",
    "gauge": "instrument",
    "thermometer": "instrument",
    "test point": "instrument",
    "breather": "instrument",
    "pressure switch": "instrument",
    "accumulator": "accumulator",
    "compensator": "compensator",
    "valve": "valve",
    "section": "valve",
    "bank section": "valve",
    "cartridge": "valve",
    "shuttle": "shuttle",
    "two-pressure valve": "shuttle",
    "cylinder": "actuator",
    "telescopic cylinder": "actuator",
    "motor": "actuator",
    "rotary actuator": "actuator",
    "winch": "load",
    "wheel": "load",
}
"""What part each kind plays on the sheet; every other kind is a part in a line."""
GOES_UP = "continued above"
"""Kind of the mark at the end of a line that goes on, above the rails, on another sheet."""
GOES_DOWN = "continued below"
"""The same, below the rails."""


@dataclass(frozen=True)
class Item:
    """One component: ``lines`` are its data as text, ``order`` its place in the text.

    Code and data are written beside it unless ``labelled`` is false. ``room_for`` is a text
    whose width is kept free, so that a sheet does not change with the figures on it. ``link``
    is where a click on it leads.
    """

    id: str
    kind: str
    symbol: Symbol
    lines: tuple[str, ...] = ()
    order: int = 0
    labelled: bool = True
    room_for: str = ""
    link: str = ""

    @property
    def role(self) -> Role:
        return "goes_on" if self.kind == GOES_UP else ROLE_OF_KIND.get(self.kind, "line_part")


@dataclass(frozen=True)
class Net:
    """Pins that one line joins; ``label`` names the hose or tube that it is.

    No hose or tube leads to the ``bare`` pins: what leads to them is a joint without a size.
    """

    id: str
    kind: NetKind
    pins: tuple[Pin, ...]
    label: str = ""
    bare: frozenset[Pin] = frozenset()


@dataclass(frozen=True)
class Hint:
    """A wish of the writer: ``first`` stands ``relation`` ``second`` (and ``third``).

    With a relation of ``NUMBERED`` the second is the column, the sheet or the turn [deg].
    """

    first: str
    relation: Relation
    second: str
    third: str = ""

    def __str__(self) -> str:
        tail = f" and {self.third}" if self.third else ""
        tail += " deg" if self.relation == "turned" else ""
        return f"{self.first} {self.relation} {self.second}{tail}"

    @property
    def items(self) -> tuple[str, ...]:
        """Give the items of which the wish speaks."""
        named = (self.first,) if self.relation in NUMBERED else (self.first, self.second)
        return (*named, self.third) if self.third else named


@dataclass(frozen=True)
class Value:
    """A computed figure beside a port, such as ("C1", "cap", "203 bar")."""

    item: str
    port: str
    text: str


@dataclass(frozen=True)
class Enclosure:
    """Items that an outline is to hold together, with the text beside it.

    ``ports`` are the letters where lines cross it, each with the net of the line.
    """

    id: str
    text: str
    items: tuple[str, ...]
    ports: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Netlist:
    """Everything that is to be drawn on one sheet; ``rows`` and ``fields`` for the title block.

    ``hoses`` are the sizes of hoses and tubes from a port to the tank. With ``seen`` the sheet
    is coloured by the figures of a step. ``sheet`` counts the sheets of one circuit from 1.
    """

    items: tuple[Item, ...]
    nets: tuple[Net, ...]
    hints: tuple[Hint, ...] = ()
    values: tuple[Value, ...] = ()
    rows: tuple[str, ...] = ()
    enclosures: tuple[Enclosure, ...] = ()
    seen: Seen | None = None
    tables: tuple[Table, ...] = ()
    fields: tuple[tuple[str, str], ...] = ()
    hoses: tuple[Value, ...] = ()
    sheet: int = 1

    @cached_property
    def placed_by(self) -> str:
        """A digest of all by which items are placed and lines led: the same for the steps of a
        circuit, whose values differ but stand at the same ports."""
        ports = tuple((value.item, value.port) for value in self.values)
        said = repr((self.items, self.nets, self.hints, self.hoses, ports))
        return hashlib.sha256(said.encode()).hexdigest()

    def free_instruments(self) -> tuple[str, ...]:
        """Name the gauges and the like for which nothing else need move, in order of the text.

        Each hangs at one line of others; what a wish or a block says of it keeps it where it is.
        """
        bound = {i for hint in self.hints for i in hint.items}
        bound |= {i for enclosure in self.enclosures for i in enclosure.items}
        tanks = {item.id for item in self.items if item.role == "tank"}
        nets: dict[str, list[Net]] = {}
        for net in self.nets:
            for i in {i for i, _ in net.pins}:
                nets.setdefault(i, []).append(net)
        free: list[str] = []
        left = {net.id: len(net.pins) for net in self.nets}
        for item in reversed(self.items):
            on = nets.get(item.id, [])
            if item.role != "instrument" or item.id in bound or len(on) != 1:
                continue
            if left[on[0].id] > 2 or tanks & {i for i, _ in on[0].pins}:
                left[on[0].id] -= 1
                free.append(item.id)
        return tuple(reversed(free))

    def without(self, items: tuple[str, ...]) -> Netlist:
        """Give what is left without some items."""
        if not items:
            return self
        kept = {item.id for item in self.items} - set(items)
        nets = [replace(n, pins=tuple(p for p in n.pins if p[0] in kept)) for n in self.nets]
        return replace(
            self,
            items=tuple(item for item in self.items if item.id in kept),
            nets=tuple(net for net in nets if len(net.pins) > 1),
            hints=tuple(hint for hint in self.hints if set(hint.items) <= kept),
            values=tuple(v for v in self.values if v.item in kept),
            hoses=tuple(v for v in self.hoses if v.item in kept),
            enclosures=tuple(e for e in self.enclosures if set(e.items) <= kept),
        )

    def mistakes(self) -> Iterable[str]:
        """Name what cannot be drawn: unknown items or ports, ids used twice."""
        known = {item.id: item for item in self.items}
        if len(known) != len(self.items):
            yield "two items have the same id"
        if len({net.id for net in self.nets}) != len(self.nets):
            yield "two nets have the same id"
        pins = [(f"net {net.id}", pin) for net in self.nets for pin in net.pins]
        pins += [("a value", (value.item, value.port)) for value in self.values]
        for owner, (item, port) in pins:
            if item not in known:
                yield f"{owner} ends at {item}, which is no item"
            elif port not in known[item].symbol.anchors:
                there = ", ".join(known[item].symbol.anchors)
                yield f"{owner} ends at port {port} of {item}, which is drawn with {there}"
