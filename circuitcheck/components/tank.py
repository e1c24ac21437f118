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
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

SHED = {"poor air": 6.0, "normal air": 12.0, "forced air": 24.0}
"""Heat that walls shed [W/(m2 K)]: trade article on tank heat, figures read; 12 is also
common practice."""


LEAST_RETURN = 1e-3 * L_MIN
"""Return flow under which the time that oil stays in the tank means nothing; own choice."""


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


def coefficient(part: Part) -> float:
    """Heat that the walls shed [W/(m2 K)], given or by the air round them."""
    given = part.figure("sheds")
    return SHED[part.choices.get("air", "normal air")] if given is None else given


def wall_heat(part: Part, view: View) -> Figures | None:
    """Heat that the walls shed [W]; None where they are not given."""
    walls, sheds = view.value_of("walls"), view.value_of("sheds")
    if walls is None:
        return None
    per_area = coefficient(part) if sheds is None else sheds
    over = view.oil.degC - np.asarray(view.value("ambient"))
    return np.asarray(per_area * np.asarray(walls) * over)


def warms(part: Part, view: View) -> Figures:
    shed = wall_heat(part, view)
    return np.zeros(view.variants) if shed is None else -shed


def results(part: Part, view: View) -> dict[str, Figures]:
    found: dict[str, Figures] = {}
    shed = wall_heat(part, view)
    if shed is not None:
        found["wall heat"] = shed
    volume = view.value_of("volume")
    if volume is None or not view.pressures:
        return found
    returning = view.arriving("")
    found["return flow"] = returning
    found["air flow"] = view.leaving("") - returning
    outside = view.outside()
    oil = np.broadcast_to(np.asarray(volume, dtype=float), (view.variants,))
    if outside is not None:
        found["rods in"] = oil
        found["rods out"] = oil - outside.rods_out
        started = oil - outside.start
        oil = oil - outside.now
        found["oil"] = oil
        most = np.maximum(view.by_step(oil), view.by_step(started)).max(axis=0)
        least = np.minimum(view.by_step(oil), view.by_step(started)).min(axis=0)
        found["swing"] = np.tile(most - least, len(view.by_step(oil)))
        floor, room = view.value_of("floor"), view.value_of("most")
        if floor is not None:
            found["level"] = oil / np.asarray(floor)
        if room is not None:
            found["air space"] = np.asarray(room) - oil
    flows = returning > LEAST_RETURN
    found["dwell"] = np.where(flows, oil / np.where(flows, returning, 1.0), np.nan)
    return found


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
            Parameter("fill", "code", "", "oil it is filled with, where tanks differ"),
            Parameter("walls", "area", "m2", "wetted wall area that sheds heat", least=0.0),
            Parameter(
                "sheds",
                "heat_transfer",
                "W/(m2 K)",
                "heat that the walls shed, in place of that by the air round them",
                least=0.1,
                most=1e3,
            ),
            Parameter(
                "floor",
                "area",
                "m2",
                "inner area of the floor, for the level",
                least=1e-3,
                most=1e3,
            ),
            Parameter(
                "ambient",
                "temperature",
                "degC",
                "air round the tank",
                default=25.0,
                least=-60.0,
                most=80.0,
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
        warms=warms,
        measures=(
            Result("wall heat", "power", "heat that the walls shed in this step"),
            Result("return flow", "flow", "flow that comes back to it"),
            Result("dwell", "time", "oil in the tank over return flow: time to settle"),
            Result("oil", "volume", "oil in it at the end of the step"),
            Result("level", "length", "oil over its floor"),
            Result("swing", "volume", "most oil less least oil in it over the cycle"),
            Result("rods in", "volume", "oil in it with all rods in and stores empty"),
            Result("rods out", "volume", "oil in it with all rods out and stores empty"),
            Result("air space", "volume", "room over the oil at the end of the step"),
            Result("air flow", "flow", "air that comes in for the oil that leaves"),
        ),
        equations=equations,
        law_text=(
            "p = gas pressure over the oil; it takes and gives any flow",
            "oil = volume - sum of (cap area - rod area) x place of the rod - oil in stores; the "
            "volume is that with all rods in and stores empty; not told for several tanks",
            "dwell = oil/return flow; 2 to 5 min are usual, 1 on vehicles",
            "wall heat = sheds x walls x (oil - ambient)",
        ),
        sources=(
            "a junction of known pressure",
            "oil is neither made nor lost; its compression and its growth with heat left out",
            "time to settle: common practice, no source",
        ),
    ),
)
