"""How many pairs of A and B lines mirror: python -m tests.schematic.symmetry [name ...]

A pair is two work lines of two ports each that join the same two parts. It mirrors if each line
is the other's mirror image about an upright axis; where it does not, the last column counts
those in which one line has two bends less: the ports above lie farther apart than those below,
and the pair could mirror only with two more bends.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from itertools import combinations

from circuitcheck.schematic import Drawing, draw
from circuitcheck.schematic.placing import Line
from tests.schematic.figures import netlists


def pairs(drawing: Drawing) -> Iterable[tuple[Line, Line]]:
    """Give the pairs of work lines that join the same two parts."""
    lines = [
        line
        for line in drawing.layout.lines
        if line.net.kind == "work" and len(line.pins) == 2 and len(line.ways) == 1
    ]
    for one, other in combinations(lines, 2):
        if {i for (i, _), _ in one.pins} == {i for (i, _), _ in other.pins}:
            yield one, other


def mirrors(one: Line, other: Line) -> bool:
    """Tell whether two lines are mirror images of each other."""
    (a,), (b,) = one.ways, other.ways
    if a[0][1] != b[0][1]:
        b = b[::-1]
    axis = a[0][0] + b[0][0]
    return [(axis - x, y) for x, y in a] == list(b)


def saves_bends(one: Line, other: Line) -> bool:
    """Tell whether one of two lines runs with two bends less than the other."""
    return abs(len(one.ways[0]) - len(other.ways[0])) == 2


def main(names: list[str]) -> None:
    print(f"{'':24}{'pairs':>6}{'mirror':>8}{'saves bends':>13}")
    total = [0, 0, 0]
    for name, netlist in netlists(names):
        found = list(pairs(draw(netlist, name)))
        mirrored = sum(mirrors(*p) for p in found)
        row = [len(found), mirrored, sum(not mirrors(*p) and saves_bends(*p) for p in found)]
        total = [a + b for a, b in zip(total, row, strict=True)]
        if found:
            print(f"{name:24}{row[0]:6}{row[1]:8}{row[2]:13}")
    print(f"{'all':24}{total[0]:6}{total[1]:8}{total[2]:13}")


if __name__ == "__main__":
    main(sys.argv[1:])
