"""Tank: where oil comes from and returns to; a junction of known pressure."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from circuitcheck.components._parts import (
    Choice,
    Figures,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
    Result,
    fixed_ports,
)
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

SHED = {"poor air": 6.0, "normal air": 12.0, "forced air": 24.0}
"""Heat that walls shed [W/(m2 K)]: trade article on tank heat, figures read; 12 is also
common practice."""


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    found = []
    levels = [part.figures.get(name) for name in ("least", "volume", "most")]
    named = [(figure.value, figure.text) for figure in levels if figure is not None]
    for low, high in pairwise(named):
        if low[0] > high[0]:
            name = "least" if part.figures.get("least") else "most"
            message = f"the levels of {part.name} do not rise: {low[1]}, then {high[1]}"
            found.append((name, message, "least, then the oil in it, then most"))
            break
    gas = part.figures.get("gas")
    if part.says("breather") and gas and gas.value != 0.0:
        message = f"{part.name} has a breather and {gas.text} of gas above the oil"
        found.append(("gas", message, "a breather lets it out; write pressurised instead"))
    return found


def results(part: Part, view: View) -> dict[str, Figures]:
    walls = view.value_of("walls")
    if walls is None:
        return {}
    shed = SHED[part.choices.get("air", "normal air")]
    over = view.oil.degC - np.asarray(view.value("ambient"))
    return {"wall heat": shed * np.asarray(walls) * over}


def equations(part: Part, net: Net) -> None:
    if net.joined(""):
        net.pin(net.ports[""], net.value("gas"))


KINDS = (
    Kind(
        word="tank",
        other_words=("reservoir",),
        text="Reservoir; any number of lines may start and end in it.",
        ports=fixed_ports(Port("", PortKind.RETURN, "any line", needed=False)),
        parameters=(
            Parameter("volume", "volume", "L", "oil in the tank", bare=True, least=1e-5),
            Parameter("least", "volume", "L", "least oil that still covers the suction", least=0.0),
            Parameter("most", "volume", "L", "oil that fills the tank to the top", least=1e-5),
            Parameter("walls", "area", "m2", "wetted wall area that sheds heat", least=0.0),
            Parameter(
                "ambient",
                "temperature",
                "degC",
                "air round the tank",
                default=25.0,
                source="common practice, no source",
            ),
            Parameter(
                "gas",
                "pressure",
                "bar",
                "gas pressure above the oil",
                default=0.0,
                least=-0.5 * BAR,
                most=1000 * BAR,
            ),
        ),
        choices=(
            Choice("fittings", ("breather", "level gauge", "pressurised"), many=True),
            Choice("air", tuple(SHED)),
        ),
        mistakes=mistakes,
        results=results,
        measures=(Result("wall heat", "power", "heat that the walls shed in this step"),),
        equations=equations,
        law_text=("p = gas pressure over the oil; it takes and gives any flow",),
        sources=("a junction of known pressure",),
    ),
)
