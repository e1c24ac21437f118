"""Dash-dot outlines round the parts of a block (ISO 1219-1: an enclosure, from memory)."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise, product

from circuitcheck.basics.shapes import Box, Polygon, Shape, Text
from circuitcheck.schematic.bodies import meet, union
from circuitcheck.schematic.fonts import text_width
from circuitcheck.schematic.netlist import Enclosure
from circuitcheck.schematic.outline_letters import place_letters
from circuitcheck.schematic.placing import Layout
from circuitcheck.schematic.values import Note

_SIZE, _HIGH = 1.4, 1.9
"""Font size and height of the name of a block [M]."""
_STEPS = range(5)
"""How many modules farther than need be a side of an outline may run."""
_CLEAR, _BESIDE = 0.25, 0.45
"""Least distance of an outline from what it must not touch, and from lines beside it [M]."""


@dataclass(frozen=True)
class Outline:
    """An outline on the sheet, the name of the block beside it, its letters where lines cross.

    ``homeless`` counts the crossings that found no room for their letter.
    """

    id: str
    box: Box
    label_box: Box
    shapes: tuple[Shape, ...]
    letters: tuple[Box, ...] = ()
    homeless: int = 0

    @property
    def boxes(self) -> tuple[Box, ...]:
        """Give all that it takes: its outline, its name, its letters."""
        return (self.box, self.label_box, *self.letters)


@dataclass(frozen=True)
class _Sheet:
    """What stands on the sheet: boxes that belong to items, texts of lines, segments of nets."""

    items: dict[str, tuple[Box, ...]]
    texts: list[Box]
    segments: list[tuple[str, Box]]
    nets_of: dict[str, frozenset[str]]


def enclose(
    enclosures: tuple[Enclosure, ...], layout: Layout, notes: list[Note]
) -> tuple[list[Outline], list[str]]:
    """Draw the outlines that hold their own parts alone; also name the blocks without one.

    Blocks inside a block come before it, so that its outline runs round theirs.
    """
    sheet = _look(layout, notes)
    found: list[Outline] = []
    without: list[str] = []
    for enclosure in sorted(enclosures, key=lambda one: -one.id.count("/")):
        outline = _outline(enclosure, sheet, found)
        if outline is None:
            without.append(enclosure.id)
        else:
            found.append(outline)
    return found, without


def _look(layout: Layout, notes: list[Note]) -> _Sheet:
    segments = [
        (line.net.id, _stretch(a, b))
        for line in layout.lines
        for way in line.ways
        for a, b in pairwise(way)
    ]
    segments += [(net.id, _stretch(a, b)) for net, a, b in layout.shafts]
    nets_of: dict[str, set[str]] = {item: set() for item in layout.bodies}
    for line in layout.lines:
        for (item, _), _ in line.pins:
            nets_of[item].add(line.net.id)
    for net, _, _ in layout.shafts:
        for item, _ in net.pins:
            nets_of[item].add(net.id)
    return _Sheet(
        {item: body.boxes() for item, body in layout.bodies.items()},
        [note.box for note in notes],
        segments,
        {item: frozenset(nets) for item, nets in nets_of.items()},
    )


def _stretch(a: tuple[float, float], b: tuple[float, float]) -> Box:
    return min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])


def _outline(enclosure: Enclosure, sheet: _Sheet, drawn: list[Outline]) -> Outline | None:
    inner = [one for one in drawn if one.id.startswith(f"{enclosure.id}/")]
    own = [box for item in enclosure.items for box in sheet.items[item]]
    own += [box for one in inner for box in one.boxes]
    if not own:
        return None
    x0, y0, x1, y1 = union(own)
    others = [
        b for item, boxes in sheet.items.items() if item not in enclosure.items for b in boxes
    ]
    others += [b for one in drawn if one not in inner for b in one.boxes]
    nets = frozenset(net for item in enclosure.items for net in sheet.nets_of[item])
    strange = [box for net, box in sheet.segments if net not in nets]
    ports = {net: letter for letter, net in enclosure.ports}
    best: Outline | None = None
    for left, top, right, bottom in sorted(product(_STEPS, repeat=4), key=sum):
        box = (_before(x0) - left, _before(y0) - top, _after(x1) + right, _after(y1) + bottom)
        if any(meet(box, other, _CLEAR) for other in (*others, *strange)):
            continue
        if any(_on_edge(box, text) for text in sheet.texts):
            continue
        if any(_along_edge(box, stretch) for _, stretch in sheet.segments):
            continue
        label = _label(enclosure.text, box, sheet, [*others, *own])
        if label is not None:
            taken = [*others, *own, *sheet.texts, label]
            letters, homeless = place_letters(box, ports, sheet.segments, taken)
            if best is not None and best.homeless <= homeless:
                continue
            (lx0, ly0, lx1, ly1) = label
            corners = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
            middle = ((lx0 + lx1) / 2, (ly0 + ly1) / 2)
            shapes: tuple[Shape, ...] = (
                Polygon(corners, style="dash-dot"),
                Text(middle, enclosure.text, _SIZE),
                *(text for text, _ in letters),
            )
            boxes = tuple(room for _, room in letters)
            best = Outline(enclosure.id, box, label, shapes, boxes, homeless)
            if not homeless:
                return best
    return best


def _before(side: float) -> float:
    """Give the next place before a side that lies between two grid lines, clear of lines."""
    return math.floor(side - _CLEAR - 0.5) + 0.5


def _after(side: float) -> float:
    """Give the next such place behind a side."""
    return math.ceil(side + _CLEAR - 0.5) + 0.5


def _on_edge(box: Box, text: Box) -> bool:
    """Tell whether a text stands across a side of an outline, or too near to it."""
    inside = (
        box[0] + _CLEAR <= text[0]
        and box[1] + _CLEAR <= text[1]
        and text[2] <= box[2] - _CLEAR
        and text[3] <= box[3] - _CLEAR
    )
    return meet(box, text, _CLEAR) and not inside


def _along_edge(box: Box, stretch: Box) -> bool:
    """Tell whether a line runs along a side of an outline, or so near that they would merge."""
    x0, y0, x1, y1 = stretch
    wide = min(x1, box[2]) - max(x0, box[0]) > -_BESIDE
    high = min(y1, box[3]) - max(y0, box[1]) > -_BESIDE
    if y0 == y1 and wide and min(abs(y0 - box[1]), abs(y0 - box[3])) < _BESIDE:
        return True
    return x0 == x1 and high and min(abs(x0 - box[0]), abs(x0 - box[2])) < _BESIDE


def _label(text: str, box: Box, sheet: _Sheet, taken: list[Box]) -> Box | None:
    """Find the place of a name outside an outline, at its top if it can be."""
    width = text_width(text, _SIZE) + 0.4
    for x, y in _corners(box, width):
        label = (x, y, x + width, y + _HIGH)
        if any(meet(label, other, 0.15) for other in (*taken, *sheet.texts)):
            continue
        if not any(meet(label, stretch, 0.2) for _, stretch in sheet.segments):
            return label
    return None


def _corners(box: Box, width: float) -> Iterable[tuple[float, float]]:
    x0, y0, x1, y1 = box
    for y in (y0 - _HIGH - 0.2, y1 + 0.2):
        steps = max(0, int(2 * (x1 - x0 - width)))
        for step in range(steps + 1):
            yield x0 + step / 2, y
