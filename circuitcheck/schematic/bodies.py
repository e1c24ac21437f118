"""An item ready to be placed: its symbol turned, with its tank marks and its label."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise

from circuitcheck.basics.shapes import Box, Point, Polygon, Pose, Shape, Text
from circuitcheck.schematic.differences import UnplaceableError
from circuitcheck.schematic.fonts import LINE_PITCH, text_box, text_width
from circuitcheck.schematic.netlist import Item
from circuitcheck.symbols import OUTWARD, Anchor, Symbol

TEXT = 1.4
"""Font size of labels [M]: capitals 1 M high."""
_AIR = 0.4  # below the last line of a tank's data [M]
_CORRIDOR = 5.0  # room kept free before a joined port [M]


@dataclass(frozen=True)
class TankMark:
    """A tank mark of one port: the line to it (from the port) and the placed mark."""

    tank: str
    port: str
    line: tuple[Point, ...]
    symbol: Symbol
    dashed: bool


@dataclass(frozen=True)
class Body:
    """An item about its own origin, in one orientation, with all that moves along with it."""

    item: Item
    pose: Pose
    symbol: Symbol
    marks: tuple[TankMark, ...] = ()
    label: tuple[Shape, ...] = ()
    label_box: Box | None = None
    shift: Point = field(default=(0.0, 0.0))

    @property
    def id(self) -> str:
        return self.item.id

    def anchor(self, port: str) -> Anchor:
        return self.symbol.anchors[port]

    def middle(self) -> Point:
        """Give the middle of the symbol's frame."""
        x0, y0, x1, y1 = self.symbol.frame
        return (x0 + x1) / 2, (y0 + y1) / 2

    def boxes(self) -> tuple[Box, ...]:
        """Give all boxes that lines must keep out of: frame, marks with their lines, label."""
        return self._boxes

    def extent(self) -> Box:
        return self._extent

    @cached_property
    def _boxes(self) -> tuple[Box, ...]:
        found = [self.symbol.frame]
        for mark in self.marks:
            found.append(mark.symbol.frame)
            found += [
                (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
                for a, b in pairwise(mark.line)
            ]
        if self.label_box:
            found.append(self.label_box)
        return tuple(found)

    @cached_property
    def _extent(self) -> Box:
        return union(self._boxes)


def union(boxes: tuple[Box, ...] | list[Box]) -> Box:
    """Give the box round boxes; an empty one at the origin if there are none."""
    if not boxes:
        return 0.0, 0.0, 0.0, 0.0
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )


def meet(a: Box, b: Box, gap: float = 0.0) -> bool:
    """Tell whether two boxes overlap, or come nearer than ``gap``."""
    return (
        min(a[2], b[2]) - max(a[0], b[0]) > -gap + 1e-9
        and min(a[3], b[3]) - max(a[1], b[1]) > -gap + 1e-9
    )


def make_body(
    item: Item,
    pose: Pose,
    joined: frozenset[str],
    tanks: dict[str, Item],
    *,
    roomy: frozenset[str] = frozenset(),
    tank_label: bool = False,
    tank_codes: bool = False,
    drains: bool = False,
    shaft: str = "",
) -> Body:
    """Turn an item, hang tank marks on its ports that go to a tank, and place its label.

    ``joined`` are the ports from which a line leaves, ``tanks`` the ports that get a mark,
    ``roomy`` those beside whose line a text is to stand, ``shaft`` the shaft end of a
    machine in a row of several.
    With ``tank_label`` the data of the tank are written at the last mark, with ``tank_codes``
    every mark carries its tank's code. ``drains`` says that the item lies in a drain line.
    """
    symbol = item.symbol.posed(pose)
    marks: list[TankMark] = []
    named: tuple[Shape, ...] = ()
    taken = [symbol.frame] + [_corridor(symbol.anchors[port]) for port in sorted(joined)]
    for port in sorted(tanks, key=lambda p: -symbol.anchors[p].x):
        tank = tanks[port]
        whole = tank_label and len(marks) == len(tanks) - 1
        text = (tank.lines if whole else ()) if tank.labelled and (whole or tank_codes) else None
        found = _tank_mark(port, symbol, tank, taken, 4 if port in roomy else 1, text)
        mark = replace(found[0], dashed=found[0].dashed or drains)
        named += found[1]
        marks.append(mark)
        taken.append(mark.symbol.frame)
        taken.append(_corridor(symbol.anchors[port], mark.symbol.frame[3]))
    if shaft:
        y = symbol.anchors[shaft].y
        taken.append((symbol.frame[0] - _CORRIDOR, y - 1, symbol.frame[2] + _CORRIDOR, y + 1))
    label: tuple[Shape, ...] = ()
    box: Box | None = None
    if item.labelled:
        label, box = _label(item, symbol, taken)
    return Body(item, pose, symbol, tuple(marks), (*label, *named), box)


def _named(
    mark: TankMark, tank: Item, lines: tuple[str, ...], taken: list[Box]
) -> tuple[TankMark, tuple[Shape, ...]] | None:
    """Write a tank's code and data below a mark, whose frame then takes in the text.

    None if there is no room for it.
    """
    words, (_, _, width, height) = label_at(tank.id, lines, 0.0, 0.0)
    x0, _, x1, y1 = mark.symbol.frame
    y = y1 + 0.6
    for x in ((x0 + x1 - width) / 2, x1 - width, x0):
        if any(meet((x, y, x + width, max(y + height, y1 + 6)), box, 0.1) for box in taken):
            continue
        at = Pose(x, y)
        old = mark.symbol
        frame = union([old.frame, at.box((0.0, 0.0, width, height + _AIR))])
        kept = Symbol(old.shapes, old.anchors, frame, old.may_mirror, old.may_turn)
        return replace(mark, symbol=kept), tuple(shape.posed(at) for shape in words)
    return None


def _corridor(anchor: Anchor, down_to: float | None = None) -> Box:
    """Give the room before a port that its line needs."""
    dx, dy = OUTWARD[anchor.side]
    x, y = anchor.x + dx * _CORRIDOR, anchor.y + dy * _CORRIDOR
    if down_to is not None and anchor.side == "S":
        y = down_to
    return (
        min(anchor.x, x) - 0.4,
        min(anchor.y, y) - 0.4,
        max(anchor.x, x) + 0.4,
        max(anchor.y, y) + 0.4,
    )


def _tank_mark(
    port: str,
    symbol: Symbol,
    tank: Item,
    taken: list[Box],
    least: int,
    text: tuple[str, ...] | None,
) -> tuple[TankMark, tuple[Shape, ...]]:
    """Find the nearest free place below a port (or beside it, going down) for a tank mark.

    With ``text`` the code of the tank and these lines are written below it. Raises
    UnplaceableError if there is no room.
    """
    anchor = symbol.anchors[port]
    own = tank.symbol
    top = next(iter(own.anchors.values()))
    half = (own.frame[2] - own.frame[0]) / 2
    lines: list[tuple[Point, ...]] = []
    x, y = anchor.x, anchor.y
    reaches = range(least, least + 8)
    if anchor.side == "S":
        lines += [((x, y), (x, y + reach)) for reach in reaches[:4]]
        for side in (k for reach in reaches for k in (reach, -reach)):
            lines.append(((x, y), (x, y + 1), (x + side, y + 1), (x + side, y + 2)))
    elif anchor.side in "EW":
        outward = 1 if anchor.side == "E" else -1
        for out in (x + (reach + half) * outward for reach in reaches):
            lines.append(((x, y), (out, y), (out, y + 1)))
    else:
        x0, _, x1, _ = symbol.frame
        for out in (k for reach in reaches for k in (x1 + half + reach, x0 - half - reach)):
            lines.append(((x, y), (x, y - 1), (out, y - 1), (out, y + 1)))
    for line in lines:
        end = line[-1]
        placed = own.posed(Pose(end[0] - top.x, end[1] - top.y))
        others = [b for b in taken if not _holds(b, (x, y)) or b is taken[0]]
        if any(meet(placed.frame, b, 0.5) for b in others):
            continue
        mark = TankMark(tank.id, port, line, placed, anchor.dashed)
        found = (mark, ()) if text is None else _named(mark, tank, text, others)
        if found is not None:
            return found
    raise UnplaceableError(f"no room for a tank mark at port {port}")


def _holds(box: Box, point: Point) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] <= point[1] <= box[3]


def label_at(
    code: str, lines: tuple[str, ...], x: float, y: float
) -> tuple[tuple[Shape, ...], Box]:
    """Write a framed code with lines of text below it, upper left corner at x, y."""
    width = text_width(code, TEXT) + 0.8
    shapes: list[Shape] = [
        Polygon(((x, y), (x + width, y), (x + width, y + 1.9), (x, y + 1.9))),
        Text((x + width / 2, y + 0.95), code, TEXT),
    ]
    texts = [
        Text((x, y + 1.9 + 0.95 + k * TEXT * LINE_PITCH), line, TEXT, "start")
        for k, line in enumerate(lines)
    ]
    boxes = [text_box(t) for t in texts] + [(x, y, x + width, y + 1.9)]
    return (*shapes, *texts), union(boxes)


def _label(item: Item, symbol: Symbol, taken: list[Box]) -> tuple[tuple[Shape, ...], Box]:
    """Put the label at the first free spot of the symbol; UnplaceableError if none is free."""
    _, (_, _, width, height) = label_at(item.id, item.lines, 0.0, 0.0)
    width = max(width, text_width(item.room_for, TEXT))
    x0, y0, x1, y1 = symbol.frame
    middle_x, middle_y = (x0 + x1 - width) / 2, (y0 + y1 - height) / 2
    gap = 0.7
    corners: dict[str, list[Point]] = {
        "right": [(x1 + gap, middle_y), (x1 + gap, 1.2), (x1 + gap, y0), (x1 + gap, y1 - height)],
        "left": [
            (x0 - gap - width, middle_y),
            (x0 - gap - width, y0),
            (x0 - gap - width, y1 - height),
        ],
        "above": [
            (middle_x, y0 - gap - height),
            (x0, y0 - gap - height),
            (x1 - width, y0 - gap - height),
        ],
        "below": [(middle_x, y1 + gap), (x0, y1 + gap), (x1 - width, y1 + gap)],
    }
    spots = [*symbol.label_spots, "right", "left", "above", "below"]
    tries = [(x, y) for spot in spots for x, y in corners[spot]]
    # a wide label may hang over the end of its symbol rather than stand in a line's way
    for spot, letter, y in (("above", "N", y0 - gap - height), ("below", "S", y1 + gap)):
        if spot in symbol.label_spots:
            leads = [a.x for a in symbol.anchors.values() if a.side == letter] or [x0]
            tries += [(min(leads) - gap - width, y), (max(leads) + gap, y)]
    for far in (3.0, 6.0, 9.0):
        tries += [(x1 + far, middle_y), (x0 - far - width, middle_y)]
        tries += [(middle_x, y1 + far), (middle_x, y0 - far - height)]
        tries += [(x1 + far, y1 + far), (x0 - far - width, y1 + far)]
    for x, y in tries:
        box = (x, y, x + width, y + height)
        if not any(meet(box, b, 0.2) for b in taken):
            shapes, written = label_at(item.id, item.lines, x, y)
            return shapes, union([written, box])
    raise UnplaceableError(f"no room for the label of {item.id}")
