"""Unloading valve: opens its inlet to tank when pressure elsewhere passes its setting."""

from __future__ import annotations

from functools import partial

import numpy as np

from circuitcheck.components import _pressure_valves
from circuitcheck.components._common import SEAT_LEAK, pressure_rating, rated_flow, rated_one_way
from circuitcheck.components._parts import Kind, Parameter, Part, Port, PortKind, fixed_ports
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net


def equations(part: Part, net: Net) -> None:
    setting = np.asarray(net.value("set"))
    net.modulated(
        "seat",
        "P",
        "T",
        k=rated_one_way(net),
        opened_by={"X": 1.0, "T": -1.0},
        offset=-setting,
        band=net.value("band"),
        leak=SEAT_LEAK,
    )


KINDS = (
    Kind(
        word="unloading valve",
        text="Opens P to T when the pressure at X passes the setting.",
        ports=fixed_ports(
            Port("P", PortKind.PRESSURE, "inlet"),
            Port("T", PortKind.RETURN, "outlet"),
            Port("X", PortKind.PILOT, "pilot"),
        ),
        parameters=(
            Parameter(
                "set",
                "pressure",
                "bar",
                "pilot pressure at which it opens",
                needed=True,
                least=0.1 * BAR,
                most=2000 * BAR,
            ),
            rated_flow(60.0, 3.0),
            Parameter(
                "band",
                "pressure",
                "bar",
                "from opening to full opening",
                default=5 * BAR,
                least=1e4,
            ),
            pressure_rating(),
        ),
        through=("P", "T"),
        equations=equations,
        results=partial(_pressure_valves.results, "P", "T"),
        state=_pressure_valves.state,
        measures=_pressure_valves.MEASURES,
        sources=("opening worked by the pilot pressure; textbook form, from memory",),
    ),
)
