"""What lines are for, and the step in which a figure of a part is greatest."""

from __future__ import annotations

import math
from enum import Enum

from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._drains import drain_path, with_case
from circuitcheck.rules._paths import always_open
from circuitcheck.solver.operating import OperatingPoint

CARRIES = 0.5e-3 / 60
"""Flow under which a line carries signals or leakage only [m3/s]; own choice."""


class Use(Enum):
    """What a line is for."""

    SUCTION = "suction"
    DRAIN = "drain"
    RETURN = "return"
    PRESSURE = "pressure"


def line_uses(case: Case) -> dict[str, Use]:
    """What every line with a size is for, by its name."""
    found: dict[str, Use] = {}
    network = case.network
    for line in case.of_kind("line"):
        ends = [network.at(line.name, port) for port in ("start", "end")]
        drained = all(end in case.facts.always_drained for end in ends)
        found[line.name] = Use.RETURN if drained else Use.PRESSURE
    for part in with_case(case):
        for passage in drain_path(case, part) or ():
            if found.get(passage.part) is Use.RETURN:
                found[passage.part] = Use.DRAIN
    for pump in case.of_kind("pump", "hand pump"):
        inlet = network.at(pump.name, "S")
        if inlet is None or inlet in network.tanks:
            continue
        for way in network.reach([inlet], always_open, backward=True).found.values():
            if way is not None and way.part in found:
                found[way.part] = Use.SUCTION
    return found


def lines_for(case: Case, *uses: Use) -> list[Part]:
    """Lines with one of these uses."""
    known = line_uses(case)
    return [line for line in case.of_kind("line") if known[line.name] in uses]


def worst(case: Case, part: Part, figure: str) -> tuple[OperatingPoint, float] | None:
    """Step in which a figure of a part is greatest, and it there; None where it has none."""
    found = [
        (point, value)
        for point in case.points
        if (value := point.parts[part.name].values.get(figure)) is not None
        and not math.isnan(value)
    ]
    return max(found, key=lambda pair: pair[1]) if found else None
