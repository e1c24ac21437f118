"""What a symbol is, and what it is drawn from: common to all files of this folder."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from circuitcheck.basics.shapes import Box, Line, Pose, Shape, Text, bounds_of
from circuitcheck.symbols._elements import build

Side = Literal["N", "E", "S", "W"]
Spot = Literal["above", "right", "below", "left"]

OUTWARD: Mapping[Side, tuple[int, int]] = {"N": (0, -1), "E": (1, 0), "S": (0, 1), "W": (-1, 0)}
"""The direction in which a line leaves a frame on each side."""
_OPPOSITE: Mapping[Spot, Spot] = {"left": "right", "right": "left"}
_SIDE_OF: Mapping[tuple[float, float], Side] = {d: s for s, d in OUTWARD.items()}


@dataclass(frozen=True)
class Look:
    """What of a part decides how it is drawn.

    ``choices``: group of choices -> chosen phrase ("centre" -> "tandem centre").
    ``ports``: the port letters of the part. ``positions``: of a valve, position name ->
    groups of joined ports; a pair is an arrow from its first to its second port.
    ``actuation``: phrases such as "solenoid a", "spring centred", "lever". ``has``: names of
    the parameters that were given ("bypass", "torque limit"). ``shown``: how the part is drawn
    where it does not stand at rest: the position of a valve, or words such as "open",
    "between" (it throttles), "check" (its check is lifted), separated by commas.
    ``place``: where a rod stands, as a share of its stroke.
    """

    choices: Mapping[str, str] = field(default_factory=dict)
    ports: tuple[str, ...] = ()
    positions: Mapping[str, tuple[tuple[str, ...], ...]] = field(default_factory=dict)
    rest: str = ""
    actuation: tuple[str, ...] = ()
    has: frozenset[str] = frozenset()
    shown: str = ""
    place: float | None = None

    @property
    def arrow(self) -> float:
        """Place of the arrow of a closed pressure valve across its square: in line when open."""
        return 0 if self.shows("open") else -0.5 if self.shows("between") else -1

    @property
    def closing(self) -> float:
        """How far the arrow of an open pressure valve is pushed out of line [M]."""
        return 1 if self.shows("closed") else 0.5 if self.shows("between") else 0

    def shows(self, word: str) -> bool:
        """Tell whether ``word`` is among what is shown of the part."""
        return word in self.shown.split(", ")

    def check(self, word: str = "check") -> str:
        """Name the element of a check: with its ball lifted where ``word`` is shown."""
        return "CL" if self.shows(word) else "CK"

    def chosen(self, phrase: str) -> bool:
        """Tell whether any group of choices was answered with ``phrase``."""
        return phrase in self.choices.values()


@dataclass(frozen=True)
class Anchor:
    """The end of a lead, where a line is joined: place [M], side of the frame, line type."""

    x: float
    y: float
    side: Side
    dashed: bool = False

    def posed(self, pose: Pose) -> Anchor:
        x, y = pose.point((self.x, self.y))
        return Anchor(x, y, _SIDE_OF[pose.direction(OUTWARD[self.side])], self.dashed)


@dataclass(frozen=True)
class Symbol:
    """A drawn component about its own origin: shapes, where lines join, the room it takes.

    ``frame`` holds all shapes, leads included; anchors lie on its edge. ``label_spots`` are
    the sides where its text may stand, best first. ``in_row`` is its other form, on a level
    shaft that comes in from the left; a port "through" there lets the shaft out again.
    """

    shapes: tuple[Shape, ...]
    anchors: Mapping[str, Anchor]
    frame: Box
    may_mirror: bool = True
    may_turn: bool = False
    label_spots: tuple[Spot, ...] = ("right", "left", "above", "below")
    in_row: Symbol | None = None

    def led_to(self, shape: Shape) -> frozenset[str]:
        """Name the ports at which a plain line ends: one of a lead, none of all other shapes."""
        if not isinstance(shape, Line) or shape.heads != "none":
            return frozenset()
        ends = (shape.points[0], shape.points[-1])
        return frozenset(name for name, a in self.anchors.items() if (a.x, a.y) in ends)

    def dashed_at(self, ports: frozenset[str]) -> Symbol:
        """Give the symbol with dashed leads at these ports, for pilot and drain lines."""
        if not ports:
            return self
        shapes = tuple(
            replace(shape, style="dashed")
            if isinstance(shape, Line) and self.led_to(shape) and self.led_to(shape) <= ports
            else shape
            for shape in self.shapes
        )
        anchors = {
            name: replace(anchor, dashed=anchor.dashed or name in ports)
            for name, anchor in self.anchors.items()
        }
        row = self.in_row.dashed_at(ports) if self.in_row is not None else None
        return replace(self, shapes=shapes, anchors=anchors, in_row=row)

    def posed(self, pose: Pose) -> Symbol:
        """Give the symbol mirrored, turned and shifted; it may no longer be moved after that."""
        return Symbol(
            tuple(shape.posed(pose) for shape in self.shapes),
            {port: anchor.posed(pose) for port, anchor in self.anchors.items()},
            pose.box(self.frame),
            self.may_mirror,
            self.may_turn,
            tuple(_OPPOSITE.get(spot, spot) for spot in self.label_spots)
            if pose.mirrored
            else self.label_spots,
        )


def port(x: float, y: float, side: Side, dashed: bool = False) -> Anchor:
    """Give an anchor; a short name keeps the symbol files readable."""
    return Anchor(x, y, side, dashed)


def symbol(
    text: str,
    anchors: Mapping[str, Anchor],
    *,
    letters: str = "",
    left: str = "",
    mirror: bool = True,
    turn: bool = False,
    spots: tuple[Spot, ...] = ("right", "left", "above", "below"),
    in_row: Symbol | None = None,
) -> Symbol:
    """Make a symbol from a build string; the frame is found, rounded out to whole modules.

    ``letters`` names, separated by spaces, the ports whose letters are written beside their
    leads; of leads in the middle those of ``left`` stand at the left. ValueError if an anchor
    does not lie on the frame's edge.
    """
    shapes = build(text) + tuple(
        _letter(name, anchors[name], left=name in left.split()) for name in letters.split()
    )
    x0, y0, x1, y1 = bounds_of(shapes)
    frame = (
        float(math.floor(x0 + 1e-6)),
        float(math.floor(y0 + 1e-6)),
        float(math.ceil(x1 - 1e-6)),
        float(math.ceil(y1 - 1e-6)),
    )
    edges = {"N": frame[1], "S": frame[3], "W": frame[0], "E": frame[2]}
    for name, anchor in anchors.items():
        at = anchor.y if anchor.side in "NS" else anchor.x
        if at != edges[anchor.side]:
            raise ValueError(f"port {name} lies at {at:g}, not on the frame {frame}")
    return Symbol(shapes, dict(anchors), frame, mirror, turn, spots, in_row)


def _letter(name: str, anchor: Anchor, *, left: bool) -> Text:
    """Write a port letter beside a lead of 2 M, outward of the symbol's middle."""
    dx, dy = OUTWARD[anchor.side]
    out = -1 if anchor.x < 0 or left else 1
    wide = 0.4 * (len(name) - 1)
    if anchor.side in "NS":
        return Text((anchor.x + out * (0.85 + wide), anchor.y - dy * 0.75), name, LETTER)
    return Text((anchor.x - dx * 1.0, anchor.y - 0.9), name, LETTER)


LETTER = 1.4
"""Font size of port letters [M]: capitals 1 M high, the least that a sheet asks for."""
