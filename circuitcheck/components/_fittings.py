"""Fittings counted on a line: their loss by the two-constant form, laminar term included."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from circuitcheck.basics.tables import read_toml
from circuitcheck.components._common import circle
from circuitcheck.components._parts import Parameter, Part
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array

INCH = 0.0254

TWO_CONSTANT = MappingProxyType(
    {
        "elbows": "elbow_90_screwed",
        "welded elbows": "elbow_90_welded",
        "long elbows": "elbow_90_long",
        "half elbows": "elbow_45",
        "tees": "tee_run",
        "branches": "tee_branch",
        "ball valves": "ball_valve_reduced",
        "gate valves": "gate_valve",
        "globe valves": "globe_valve",
        "swing checks": "swing_check",
    }
)
"""Name in the language -> row of the table of fittings."""

PLAIN = MappingProxyType(
    {
        "hose ends": "hose_end",
        "sharp entries": "entry_sharp",
        "rounded entries": "entry_rounded",
        "exits": "exit",
    }
)
"""Those with one constant only."""

WORDS = MappingProxyType(
    {
        "elbows": "screwed elbows of 90 degrees",
        "welded elbows": "welded elbows of 90 degrees",
        "long elbows": "elbows of long radius",
        "half elbows": "elbows of 45 degrees",
        "tees": "tees passed straight",
        "branches": "tees passed round the corner",
        "ball valves": "open ball valves of reduced bore",
        "gate valves": "open gate valves",
        "globe valves": "open globe valves",
        "swing checks": "open swing checks",
        "hose ends": "hose ends, narrower than the hose",
        "sharp entries": "entries with a sharp edge",
        "rounded entries": "entries with a well-rounded edge",
        "exits": "ends in a tank or a wide chamber",
    }
)

WIDE = MappingProxyType({"wide start": "start", "wide end": "end"})
"""Wider bores before and behind a line."""

PARAMETERS = tuple(
    Parameter(name, "count", "", f"number of {text}", least=0.0, most=1000.0)
    for name, text in WORDS.items()
) + tuple(
    Parameter(
        name, "length", "mm", f"wider bore at its {end}, joined by a step", least=1e-4, most=5
    )
    for name, end in WIDE.items()
)


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    """A wide end is wider than the line."""
    bore = part.figures.get("bore")
    found = []
    for name, end in WIDE.items():
        wide = part.figures.get(name)
        if bore and wide and wide.value <= bore.value:
            message = f"the {end} of {part.name} widens to {wide.text}, its bore is {bore.text}"
            found.append((name, message, "give the bore of the line itself as its size"))
    return found


def steps(of: Net, bore: Array) -> Array:
    """Loss factor of sudden changes of bore, oil from start to end.

    Narrowing 0.5 (1 - a), widening (1 - a)^2, a = area of the line over the wide one;
    textbook (Borda and Carnot; Idelchik), from memory.
    """
    found = np.zeros(of.variants)
    before, behind = of.value_of("wide start"), of.value_of("wide end")
    if before is not None:
        found = found + 0.5 * (1.0 - (bore / np.asarray(before)) ** 2)
    if behind is not None:
        found = found + (1.0 - (bore / np.asarray(behind)) ** 2) ** 2
    return found


def losses(net: Net, bore: Array) -> tuple[Array, Array]:
    """Loss factor that does not change with Reynolds, and resistance of the rest.

    K = k1/Re + k_inf (1 + 1 in/d): the first term is laminar, so it is given as a
    resistance [Pa s/m3]. Source: two-constant method (Hooper 1981), in the table.
    """
    table = read_toml("lines/fittings.toml")
    steady, laminar = np.zeros(net.variants), np.zeros(net.variants)
    for name, row in TWO_CONSTANT.items():
        count = net.value_of(name)
        if count is not None:
            constants = table["two_constant"][row]
            steady = steady + np.asarray(count) * constants["k_inf"] * (1.0 + INCH / bore)
            laminar = laminar + np.asarray(count) * constants["k1"]
    for name, row in PLAIN.items():
        count = net.value_of(name)
        if count is not None:
            steady = steady + np.asarray(count) * table["plain"][row]["value"]
    steady = steady + steps(net, bore)
    return steady, laminar * net.oil.mu / (2.0 * bore * circle(bore))
