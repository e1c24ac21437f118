"""The figures that a person names, with the range in which each may lie."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from circuitcheck.basics.places import Place
from circuitcheck.basics.refusal import CircuitError
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.model import Circuit
from circuitcheck.circuit.ranges import Axis, read_axis
from circuitcheck.circuit.varied import Varied, find_varied, words_of
from circuitcheck.solver.solve import STEADY
from circuitcheck.studies.trials import Trials

FILE = "figures"
"""Name under which findings speak of figures that a person names."""


def wanted_figures(
    circuit: Circuit, figures: Mapping[str, str] | Sequence[str]
) -> list[tuple[Varied, Axis | None]]:
    """Give the figures by their names; raises `CircuitError` with everything that is wrong."""
    rows = dict(figures) if isinstance(figures, Mapping) else dict.fromkeys(figures, "")
    source = "\n".join(f"{name} = {said}" if said else name for name, said in rows.items())
    desk = Desk({}, set())
    found: list[tuple[Varied, Axis | None]] = []
    for line, (name, said) in enumerate(rows.items(), 1):
        words = words_of(name, FILE, line)
        if not words:
            desk.error("vary-name", Place(FILE, line, 1, line, 1), "which figure?",
                       "name it by its part:  C1 bore")  # fmt: skip
            continue
        varied = find_varied(desk, circuit, circuit.steps or [STEADY], words)
        if varied is None:
            continue
        axis = None
        if said:
            start = len(name) + 4
            place = Place(FILE, line, start, line, start + len(said))
            axis = read_axis(desk, varied, said, place)
            if axis is not None and not axis.low < axis.high:
                desk.error("vary-form", place, f"{varied.text} needs a range",
                           "write, for example:  60 to 140 mm")  # fmt: skip
        elif (present := _without_value(circuit, varied)) is not None:
            desk.error("vary-form", words[0].place.upto(words[-1].place), present,
                       f"say where it is sought:  {varied.text} = ... to ...")  # fmt: skip
        found.append((varied, axis))
    if desk.errors:
        raise CircuitError(tuple(desk.findings), source)
    return found


def _without_value(circuit: Circuit, varied: Varied) -> str | None:
    """Say that the text gives a figure no value from which a range could follow."""
    value = float(Trials(circuit, [varied]).present()[0])
    if math.isnan(value):
        return f"the text gives {varied.text} no value"
    return f"{varied.text} is 0 in the text" if value == 0.0 else None
