"""Reducing valve: keeps the pressure behind it at its setting, relieving above."""

from __future__ import annotations

from functools import partial

import numpy as np

from circuitcheck.components import _pressure_valves
from circuitcheck.components._common import SEAT_LEAK, pressure_rating, rated_flow, rated_one_way
from circuitcheck.components._parts import Kind, Parameter, Part, Port, PortKind, fixed_ports
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net


def equations(part: Part, net: Net) -> None:
    k, setting = rated_one_way(net), np.asarray(net.value("set"))
    band = np.asarray(net.value("band"))
    net.modulated(
        "seat",
        "P",
        "A",
        k=k,
        opened_by={"A": -1.0, "T": 1.0},
        offset=setting,
        band=band,
        leak=SEAT_LEAK,
    )
    net.modulated(
        "relieving",
        "A",
        "T",
        k=k,
        opened_by={"A": 1.0, "T": -1.0},
        offset=-setting - np.asarray(net.value("gap")),
        band=band,
        leak=np.asarray(net.value("drain")) / setting,
    )


KINDS = (
    Kind(
        word="reducing valve",
        text="Keeps A at its setting above T; shut at the setting, relieving a gap above it.",
        ports=fixed_ports(
            Port("P", PortKind.PRESSURE, "inlet"),
            Port("A", PortKind.WORK, "reduced pressure"),
            Port("T", PortKind.RETURN, "drain and relief"),
        ),
        parameters=(
            Parameter(
                "set",
                "pressure",
                "bar",
                "reduced pressure, at no flow",
                needed=True,
                least=0.1 * BAR,
                most=2000 * BAR,
            ),
            rated_flow(40.0, 10.0),
            Parameter(
                "band", "pressure", "bar", "from shut to fully open", default=4 * BAR, least=1e4
            ),
            Parameter(
                "drain",
                "flow",
                "L/min",
                "oil that the drain takes at the setting",
                default=0.05 * L_MIN,
                least=1e-9,
            ),
            Parameter("gap", "pressure", "bar", "setting to relieving", default=3 * BAR, least=0.0),
            pressure_rating(),
        ),
        through=("P", "A"),
        equations=equations,
        results=partial(_pressure_valves.results, "P", "A"),
        state=_pressure_valves.state,
        measures=_pressure_valves.MEASURES,
        sources=("opening worked by the outlet pressure; textbook form, from memory",),
    ),
)
