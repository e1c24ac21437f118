"""Operating points as rows of a table: every figure of every part in every step."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from circuitcheck.basics.frames import frame
from circuitcheck.basics.quantities import System, number_in, unit_label
from circuitcheck.solver.operating import OperatingPoint, PartState, Solution

COLUMNS = ("step", "part", "kind", "state", "what", "value", "unit", "trust")
NOT_SOLVED = "not solved"

Row = tuple[str, str, str, str, str, float, str, str]


def points_frame(solution: Solution, units: System) -> Any:
    """Give operating points as a ``pandas.DataFrame``, a row for each figure.

    ``what`` is the name of a result ("speed"), of a port ("P pressure", "P flow") or "loss",
    what the part makes into heat; ``trust`` of a pressure at a port is the status of its
    junction, "held by leakage" where only leakage decides it. Figures of a step that was not
    solved are NaN.
    """
    at = {
        (end.part, end.port): name
        for name, junction in solution.circuit.junctions.items()
        for end in junction.ends
    }
    rows = [row for point in solution for row in _rows(point, at, units)]
    return frame({name: [row[i] for row in rows] for i, name in enumerate(COLUMNS)})


def _rows(point: OperatingPoint, at: dict[tuple[str, str], str], units: System) -> Iterator[Row]:
    for name, part in point.parts.items():
        state = part.state if point.success else NOT_SOLVED
        for what, value, quantity, port in _figures(part):
            known = number_in(value, quantity, units) if point.success else math.nan
            junction = at.get((name, port), "")
            trust = point.junctions[junction].status if point.success and junction else ""
            unit = unit_label(quantity, units)
            yield point.step.name, name, part.kind, state, what, known, unit, trust


def _figures(part: PartState) -> Iterator[tuple[str, float, str, str]]:
    """Name, SI value, quantity, and the port whose pressure it is."""
    for name, value in part.values.items():
        yield name, value, part.quantities[name], ""
    for letter, port in part.ports.items():
        yield f"{letter} pressure", port.pressure, "pressure", letter
        yield f"{letter} flow", port.flow, "flow", ""
    yield "loss", part.loss, "power", ""
