"""Port letters of a block, where its lines cross the outline (ISO 1219-1 8.1, from memory)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from circuitcheck.basics.shapes import Box, Point, Text
from circuitcheck.schematic.bodies import meet
from circuitcheck.schematic.fonts import text_width

_SIZE, _HIGH = 1.4, 1.3
"""Font size of a letter, height of the room it takes [M]: capitals and a little air."""
_BESIDE, _OFF, _AIR = 0.3, 0.3, 0.15
"""Distance of a letter from its line, from the outline, least distance from all else [M]."""
_AWAY = (0.0, 1.0, 2.0)
"""How much farther along its line a letter may stand where there is no room [M]."""

Segments = Sequence[tuple[str, Box]]
"""Net and straight stretch of its line, a box without width."""


def place_letters(
    outline: Box, ports: Mapping[str, str], segments: Segments, taken: Sequence[Box]
) -> tuple[list[tuple[Text, Box]], int]:
    """Write the letter of a port beside each of its lines at the outline, best outside it.

    ``ports`` is net -> letter, ``taken`` what the letters must keep clear of. Also gives how
    many crossings found no room for their letter.
    """
    found: list[tuple[Text, Box]] = []
    homeless = 0
    for at, way, letter in _crossings(outline, ports, segments):
        standing = [*taken, *(box for _, box in found)]
        for box in _spots(at, way, text_width(letter, _SIZE)):
            clear = not any(meet(box, other, _AIR) for other in standing)
            if clear and not any(meet(box, stretch, _AIR) for _, stretch in segments):
                middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
                found.append((Text(middle, letter, _SIZE), box))
                break
        else:
            homeless += 1
    return found, homeless


def _crossings(
    outline: Box, ports: Mapping[str, str], segments: Segments
) -> Iterable[tuple[Point, Point, str]]:
    """Give each place where a line of a port goes through the outline, the way out, the letter."""
    x0, y0, x1, y1 = outline
    for net, (ax, ay, bx, by) in segments:
        if net not in ports:
            continue
        if ax == bx and x0 < ax < x1:
            for y, out in ((y0, -1.0), (y1, 1.0)):
                if ay < y < by:
                    yield (ax, y), (0.0, out), ports[net]
        elif ay == by and y0 < ay < y1:
            for x, out in ((x0, -1.0), (x1, 1.0)):
                if ax < x < bx:
                    yield (x, ay), (out, 0.0), ports[net]


def _spots(at: Point, way: Point, width: float) -> Iterable[Box]:
    """Give rooms for a letter on both sides of its line: outside first, then inside."""
    for outward in (1.0, -1.0):
        dx, dy = way[0] * outward, way[1] * outward
        for away in _AWAY:
            for side in (1.0, -1.0):
                if dx:
                    near = at[0] + dx * (_OFF + away)
                    x = near if dx > 0 else near - width
                    y = at[1] + (_BESIDE if side < 0 else -_BESIDE - _HIGH)
                else:
                    x = at[0] + (_BESIDE if side > 0 else -_BESIDE - width)
                    near = at[1] + dy * (_OFF + away)
                    y = near if dy > 0 else near - _HIGH
                yield x, y, x + width, y + _HIGH
