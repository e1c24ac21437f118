"""Fittings counted on a line: their loss by the two-constant form, laminar term included."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from circuitcheck.basics.tables import read_toml
from circuitcheck.components._common import circle
from circuitcheck.components._parts import Parameter
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
    }
)
"""Name in the language -> row of the table of fittings."""

PLAIN = MappingProxyType({"hose ends": "hose_end", "sharp entries": "entry_sharp", "exits": "exit"})
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
        "hose ends": "hose ends, narrower than the hose",
        "sharp entries": "entries with a sharp edge",
        "exits": "ends in a tank or a wide chamber",
    }
)

PARAMETERS = tuple(
    Parameter(name, "count", "", f"number of {text}", least=0.0, most=1000.0)
    for name, text in WORDS.items()
)


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
    return steady, laminar * net.oil.mu / (2.0 * bore * circle(bore))
