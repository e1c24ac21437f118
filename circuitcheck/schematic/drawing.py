"""From a netlist to a checked drawing: tries with more room until nothing is wrong."""

from __future__ import annotations

from dataclasses import dataclass

from circuitcheck.schematic.check import Fault, Frame, Wire, Words, find_faults
from circuitcheck.schematic.differences import UnplaceableError
from circuitcheck.schematic.enclosures import Outline, enclose
from circuitcheck.schematic.netlist import Netlist
from circuitcheck.schematic.placing import Layout, lay_out
from circuitcheck.schematic.sheet import Titles, compose
from circuitcheck.schematic.svg import to_svg
from circuitcheck.schematic.values import Note, place_notes
from circuitcheck.schematic.wishes import unheeded

_ROOMS = (2.0, 3.0, 4.0, 6.0, 9.0)
"""Least gaps between items that are tried, one after the other [M]."""


_ROOM_FOR_OUTLINES = 4.0
"""Wider sheets are not tried for the sake of outlines alone [M]."""


class NotDrawable(Exception):  # noqa: N818 - it names a state, as the trade would
    """No sound drawing was found; ``faults`` says what is wrong with the best one."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults))
        self.faults = faults


@dataclass(frozen=True)
class Drawing:
    """A drawing that kept every rule of ``check``; ``notices`` says what was not heeded."""

    layout: Layout
    notes: tuple[Note, ...]
    titles: Titles
    faults: tuple[Fault, ...] = ()
    notices: tuple[str, ...] = ()
    outlines: tuple[Outline, ...] = ()

    def svg(self) -> str:
        """Write the drawing as SVG 1.1, one module = 2.5 mm."""
        groups, box = compose(self.layout, list(self.notes), self.titles, self.outlines)
        parts = ", ".join(self.layout.bodies)
        return to_svg(groups, box, self.titles.title, f"Hydraulic circuit diagram with {parts}.")


def draw(netlist: Netlist, title: str, rows: tuple[str, ...] = ()) -> Drawing:
    """Draw a netlist; ``rows`` are further lines of the title block (issue, step, units).

    ValueError if the netlist contradicts itself, NotDrawable if no sound drawing was found.
    """
    mistakes = list(netlist.mistakes())
    if mistakes:
        raise ValueError("; ".join(mistakes))
    titles = Titles(title, rows or netlist.rows)
    least: tuple[Fault, ...] | None = None
    best: Drawing | None = None
    for room in _ROOMS:
        try:
            layout = lay_out(netlist, room)
        except UnplaceableError as problem:
            least = least or (Fault("no-place", (str(problem),)),)
            continue
        notes, homeless = place_notes(layout, netlist.values, _boxes(layout))
        faults = _faults(layout, notes, homeless)
        if not faults:
            notices = unheeded(netlist.hints, layout.bodies)
            outlines, without = enclose(netlist.enclosures, layout, notes)
            notices += tuple(f"{name} has no outline: other parts stand between its own."
                             for name in without)  # fmt: skip
            drawing = Drawing(layout, tuple(notes), titles, (), notices, tuple(outlines))
            if not without:
                return drawing
            if best is None or len(outlines) > len(best.outlines):
                best = drawing
            if room >= _ROOM_FOR_OUTLINES:
                return best
        if least is None or len(faults) < len(least):
            least = faults
    if best is not None:
        return best
    raise NotDrawable(least or ())


def _boxes(layout: Layout) -> list[tuple[float, float, float, float]]:
    return [box for body in layout.bodies.values() for box in body.boxes()]


def frames_of(layout: Layout) -> list[Frame]:
    """List every symbol and tank mark on the sheet."""
    frames = [Frame(body.id, body.symbol.frame) for body in layout.bodies.values()]
    frames += [
        Frame(f"{mark.tank} at {body.id}.{mark.port}", mark.symbol.frame)
        for body in layout.bodies.values()
        for mark in body.marks
    ]
    return frames


def wires_of(layout: Layout) -> list[Wire]:
    """List every drawn line, tank lines and shafts included."""
    wires = [
        Wire(
            line.net.id,
            tuple(line.ways),
            tuple((f"{item}.{port}", anchor) for (item, port), anchor in line.pins),
        )
        for line in layout.lines
    ]
    for body in layout.bodies.values():
        for mark in body.marks:
            name = f"{body.id}.{mark.port}"
            pins = ((name, body.anchor(mark.port)),)
            wires.append(Wire(f"{mark.tank} at {name}", (mark.line,), pins))
    wires += [Wire(f"{net.id} shaft", ((a, b),), ()) for net, a, b in layout.shafts if a != b]
    return wires


def _faults(layout: Layout, notes: list[Note], homeless: list[str]) -> tuple[Fault, ...]:
    words = [
        Words(body.id, body.label_box)
        for body in layout.bodies.values()
        if body.label_box is not None
    ]
    words += [Words(note.owner, note.box) for note in notes]
    found = list(find_faults(frames_of(layout), wires_of(layout), words))
    found += [Fault("no-way-for-line", (net.id,)) for net in layout.missing]
    found += [Fault("no-place-for-text", (text,)) for text in homeless]
    return tuple(found)
