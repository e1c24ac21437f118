"""Reads build strings, the short notation in which symbols are written down.

Unit M, x to the right, y down, angles in degrees clockwise; a, b are points written x,y.

    L a b c     solid polyline            D a b c   dashed polyline
    V a b       line, arrowhead at b      W a b     arrowhead at both ends
    P a b c     closed outline            F a b c   closed and filled
    C x,y r     circle                    B x,y r   filled dot
    R x,y w h   rectangle from its upper left corner
    K x,y w h   the same in dash-dot (enclosure)
    A x,y r a>b arc                       Q x,y r a>b  arc with arrowhead at b
    T x,y s     centred text
    NAME(x,y,rot,m)  an element placed at x,y: m mirrors it first, then rot turns it

Parts of a build string are separated by semicolons.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from circuitcheck.basics.shapes import (
    Arc,
    Circle,
    Line,
    Point,
    Polygon,
    Pose,
    Shape,
    Text,
    rectangle,
)

Shapes = tuple[Shape, ...]
_PLACED = re.compile(r"(\w+)\(([^)]*)\)")


def parse(build: str, element: Callable[[str], Shapes]) -> Shapes:
    """Turn a build string into shapes; ``element`` gives the shapes of a named element.

    ValueError names the part that cannot be read.
    """
    shapes: list[Shape] = []
    for part in (p.strip() for p in build.split(";")):
        if not part:
            continue
        placed = _PLACED.fullmatch(part)
        if placed:
            pose = _pose(placed[2])
            shapes += [shape.posed(pose) for shape in element(placed[1])]
        else:
            shapes.append(_primitive(part))
    return tuple(shapes)


def _pose(arguments: str) -> Pose:
    words = [w.strip() for w in arguments.split(",")]
    mirrored = words[-1] == "m"
    numbers = [float(w) for w in (words[:-1] if mirrored else words)]
    x, y, turn = (*numbers, 0.0)[:3]
    if turn % 90:
        raise ValueError(f"elements turn in steps of 90 degrees, not {turn:g}")
    return Pose(x, y, int(turn // 90) % 4, mirrored)


def _point(word: str) -> Point:
    x, y = word.split(",")
    return float(x), float(y)


def _angles(word: str) -> tuple[float, float]:
    start, end = word.split(">")
    return float(start), float(end)


def _primitive(part: str) -> Shape:
    kind, *words = part.split()
    try:
        if kind in "LDVWPF":
            return _from_points(kind, tuple(_point(w) for w in words))
        at, rest = _point(words[0]), words[1:]
        if kind in "CB":
            return Circle(at, float(rest[0]), filled=kind == "B")
        if kind in "RK":
            width, height = map(float, rest)
            return rectangle(*at, width, height, "dash-dot" if kind == "K" else "solid")
        if kind in "AQ":
            return Arc(at, float(rest[0]), *_angles(rest[1]), headed=kind == "Q")
        if kind == "T":
            return Text(at, " ".join(rest))
    except (ValueError, IndexError) as problem:
        raise ValueError(f"cannot read {part!r} in a symbol") from problem
    raise ValueError(f"cannot read {part!r} in a symbol: no primitive {kind!r}")


def _from_points(kind: str, points: tuple[Point, ...]) -> Shape:
    if kind in "PF":
        return Polygon(points, filled=kind == "F")
    if kind == "D":
        return Line(points, style="dashed")
    return Line(points, heads={"V": "end", "W": "both"}.get(kind, "none"))  # type: ignore[arg-type]
