"""From a netlist to a checked drawing: tries with more room until nothing is wrong."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product

from circuitcheck.basics.shapes import Box
from circuitcheck.schematic.case import make_case
from circuitcheck.schematic.check import Fault, Words, crossings, find_faults
from circuitcheck.schematic.differences import UnplaceableError
from circuitcheck.schematic.enclosures import Outline, enclose
from circuitcheck.schematic.export import as_dxf
from circuitcheck.schematic.heeded import unheeded
from circuitcheck.schematic.instruments import attach
from circuitcheck.schematic.netlist import Netlist
from circuitcheck.schematic.paper import REDUCED, field_at, fitted, paper_for
from circuitcheck.schematic.placing import AS_USUAL, Layout, Moves, frames_of, wires_of
from circuitcheck.schematic.polish import CLEARLY, ENOUGH, polish, score_of
from circuitcheck.schematic.remembered import laid_out, scored
from circuitcheck.schematic.seen import Seen
from circuitcheck.schematic.sheet import compose
from circuitcheck.schematic.svg import Fit, Group, to_svg
from circuitcheck.schematic.tables import Table
from circuitcheck.schematic.title_block import Titles
from circuitcheck.schematic.values import Note, name_tank_hoses, place_notes

_ROOMS = (2.0, 3.0, 4.0, 6.0, 9.0)
"""Least gaps between items that are tried, one after the other [M]."""


_ROOM_FOR_OUTLINES = 4.0
"""Wider sheets are not tried for the sake of outlines alone [M]."""


_NO_PLACE = "no-place-for-text"


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
    seen: Seen | None = None
    tables: tuple[Table, ...] = ()

    def svg(self, paper: str = "") -> str:
        """Write the drawing as SVG 1.1, one module = 2.5 mm.

        ``paper`` fits it to a framed sheet: "A3, landscape", "landscape" or "fit" for the
        smallest one that holds it at full size. ValueError if there is no such sheet.
        """
        parts = ", ".join(self.layout.bodies)
        about = f"Hydraulic circuit diagram with {parts}."
        groups, box, fit = self._on(paper)
        return to_svg(groups, box, self.titles.title, about, fit)

    def dxf(self, paper: str = "") -> str:
        """Write the drawing as DXF, in millimetres, on a sheet as ``svg`` does.

        ConverterMissingError without its extra, ValueError if there is no such sheet.
        """
        groups, _, fit = self._on(paper)
        return as_dxf(groups, fit)

    def field_of(self, item: str, paper: str) -> str:
        """Give the field of the grid, such as B3, in which an item stands on a framed sheet.

        KeyError if the item is not drawn; for ``paper`` holds what ``svg`` says.
        """
        _, box = self._composed(None)
        chosen = paper_for(paper, box, self.titles)
        fit = fitted(chosen, box, self.titles)
        x, y = self.layout.bodies[item].middle()
        return field_at(chosen, fit.shift[0] + x * chosen.module, fit.shift[1] + y * chosen.module)

    def cramped(self, paper: str) -> str:
        """Say that a sheet of paper makes the drawing too small to read; empty if it does not."""
        if not paper:
            return ""
        _, box = self._composed(None)
        chosen, better = (paper_for(said, box, self.titles) for said in (paper, "fit"))
        if chosen.module >= REDUCED:
            return ""
        return (
            f"On {chosen.name} a module is only {chosen.module:.2f} mm (at least {REDUCED:.1f} mm "
            f"reads well); {better.name} holds it at {better.module:.2f} mm."
        )

    def _on(self, paper: str) -> tuple[list[Group], Box, Fit | None]:
        """Compose the drawing, and put it on a sheet of paper if one is wanted."""
        groups, box = self._composed(None if paper else self.titles)
        if not paper:
            return groups, box, None
        return groups, box, fitted(paper_for(paper, box, self.titles), box, self.titles)

    def _composed(self, titles: Titles | None) -> tuple[list[Group], Box]:
        return compose(self.layout, list(self.notes), titles, self.outlines, self.seen, self.tables)


def draw(netlist: Netlist, title: str, rows: tuple[str, ...] = ()) -> Drawing:
    """Draw a netlist; ``rows`` are further lines of the title block (issue, step, units).

    ValueError if the netlist contradicts itself, NotDrawable if no sound drawing was found.
    """
    mistakes = list(netlist.mistakes())
    if mistakes:
        raise ValueError("; ".join(mistakes))
    free = netlist.free_instruments()
    if free:
        # gauges and the like come last, on a sheet that stands without them
        bare = _drawn(netlist.without(free), title, rows)
        # room that is made, or a text that gives way to an instrument, may cost a block its
        # outline: then without that room, and with texts that keep off the outlines
        for opening, kept in ((True, ()), (False, bare.outlines)):
            layout, lost = attach(bare.layout, netlist, free, opening)
            drawing, _ = _finished(layout, netlist, bare.titles, kept)
            if not lost and not drawing.faults and len(drawing.outlines) == len(bare.outlines):
                notices = tuple(dict.fromkeys((*bare.notices, *drawing.notices)))
                return replace(drawing, notices=notices)
    return _drawn(netlist, title, rows)


def _drawn(netlist: Netlist, title: str, rows: tuple[str, ...]) -> Drawing:
    """Draw a netlist with all its parts placed together."""
    titles = Titles(title, rows or netlist.rows, netlist.fields)
    least: tuple[Fault, ...] | None = None
    best: Drawing | None = None
    polished = polish(netlist, _ROOMS[0])
    for room, moves in product(_ROOMS, dict.fromkeys((polished.moves, AS_USUAL))):
        ready = polished.layout if (room, moves) == (_ROOMS[0], polished.moves) else None
        drawing, without = _attempt(netlist, room, moves, titles, ready)
        if not drawing.faults:
            if not without:
                return _better(drawing, netlist, polished.moves) if room == _ROOMS[0] else drawing
            if best is None or len(drawing.outlines) > len(best.outlines):
                best = drawing
            if room >= _ROOM_FOR_OUTLINES:
                return best
        if least is None or len(drawing.faults) < len(least):
            least = drawing.faults
    if best is not None:
        return best
    lost = tuple(fault.about[0] for fault in least or () if fault.slug == _NO_PLACE)
    if least and len(lost) == len(least):
        # rather a drawing that says which figures it leaves out than none
        drawing = _drawn(_without(netlist, lost), title, rows)
        notices = tuple(f"No room for the text {text}." for text in lost)
        return replace(drawing, notices=(*drawing.notices, *notices))
    if netlist.hints:
        # what cannot be drawn as wished is drawn without the wishes, which are then named
        plain = _drawn(replace(netlist, hints=()), title, rows)
        layout = plain.layout
        missed = unheeded(netlist.hints, layout.case, layout.bodies, netlist.sheet)
        return replace(plain, notices=(*missed, *plain.notices))
    raise NotDrawable(least or ())


def _without(netlist: Netlist, lost: tuple[str, ...]) -> Netlist:
    """Leave out the values and line sizes that found no place."""
    values = tuple(
        value
        for value in netlist.values
        if not any(text.startswith(f"{value.item}.{value.port} ") for text in lost)
    )
    nets = tuple(
        replace(net, label="") if f"{net.id} {net.label}" in lost else net for net in netlist.nets
    )
    return replace(netlist, values=values, nets=nets)


def _better(drawing: Drawing, netlist: Netlist, polished: Moves) -> Drawing:
    """Give the drawing with a little more room instead, where lines then run clearly better."""
    if len(netlist.items) > ENOUGH or not crossings(wires_of(drawing.layout)):
        return drawing
    best = score_of(drawing.layout)
    for moves in dict.fromkeys((polished, AS_USUAL)):
        if scored(netlist, _ROOMS[1], moves) >= best - CLEARLY:
            continue
        other, without = _attempt(netlist, _ROOMS[1], moves, drawing.titles)
        if not other.faults and not without and score_of(other.layout) < best - CLEARLY:
            drawing, best = other, score_of(other.layout)
    return drawing


def _attempt(
    netlist: Netlist, room: float, moves: Moves, titles: Titles, ready: Layout | None = None
) -> tuple[Drawing, list[str]]:
    """Draw with a given room; also name the blocks that found no outline."""
    try:
        layout = laid_out(netlist, room, moves, ready)
    except UnplaceableError as problem:
        nothing = Layout(make_case(netlist), {}, [], [])
        return Drawing(nothing, (), titles, (Fault("no-place", (str(problem),)),)), []
    return _finished(layout, netlist, titles)


def _finished(
    layout: Layout, netlist: Netlist, titles: Titles, kept: tuple[Outline, ...] = ()
) -> tuple[Drawing, list[str]]:
    """Write the texts on a sheet, judge it, draw its outlines; also name blocks without one.

    Texts keep off the outlines that are ``kept``.
    """
    taken = [*_boxes(layout), *(edge for outline in kept for edge in _edges(outline.box))]
    notes, homeless = place_notes(layout, netlist.values, taken)
    hoses, unnamed = name_tank_hoses(layout, taken)
    notes += hoses
    faults = _faults(layout, notes, homeless)
    if faults:
        return Drawing(layout, tuple(notes), titles, faults), []
    notices = unheeded(netlist.hints, layout.case, layout.bodies, netlist.sheet)
    outlines, without = enclose(netlist.enclosures, layout, notes)
    notices += tuple(
        f"{name} has no outline: other parts stand between its own." for name in without
    )
    notices += tuple(
        f"No room for {outline.homeless} of the port letters at the outline of {outline.id}."
        for outline in outlines
        if outline.homeless
    )
    notices += tuple(f"No room for the size of the line to tank: {text}." for text in unnamed)
    drawing = Drawing(
        layout, tuple(notes), titles, (), notices, tuple(outlines), netlist.seen, netlist.tables
    )
    return drawing, without


def _edges(box: Box) -> list[Box]:
    x0, y0, x1, y1 = box
    return [(x0, y0, x1, y0), (x0, y1, x1, y1), (x0, y0, x0, y1), (x1, y0, x1, y1)]


def _boxes(layout: Layout) -> list[tuple[float, float, float, float]]:
    return [box for body in layout.bodies.values() for box in body.boxes()]


def _faults(layout: Layout, notes: list[Note], homeless: list[str]) -> tuple[Fault, ...]:
    words = [
        Words(body.id, body.label_box)
        for body in layout.bodies.values()
        if body.label_box is not None
    ]
    words += [Words(note.owner, note.box) for note in notes]
    found = list(find_faults(frames_of(layout), wires_of(layout), words))
    found += [Fault("no-way-for-line", (net.id,)) for net in layout.missing]
    found += [Fault(_NO_PLACE, (text,)) for text in homeless]
    return tuple(found)
