"""Sequence valve: opens to a second function when the first has reached its pressure."""

from __future__ import annotations

from functools import partial

import numpy as np

from circuitcheck.components import _pressure_valves
from circuitcheck.components._common import (
    SEAT_LEAK,
    free_flow_check,
    pressure_rating,
    rated_flow,
    rated_one_way,
)
from circuitcheck.components._parts import (
    Choice,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
    fixed_ports,
)
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net


def equations(part: Part, net: Net) -> None:
    k = rated_one_way(net)
    net.modulated(
        "seat",
        "P",
        "A",
        k=k,
        opened_by={"P": 1.0, "Y": -1.0},
        offset=-np.asarray(net.value("set")),
        band=net.value("band"),
        leak=SEAT_LEAK,
    )
    if part.says("free-flow check"):
        free_flow_check(net, "check", "A", "P", k)


KINDS = (
    Kind(
        word="sequence",
        other_words=("sequence valve",),
        text="Opens P to A when the pressure at P passes the setting; spring chamber drained to Y.",
        ports=fixed_ports(
            Port("P", PortKind.PRESSURE, "inlet"),
            Port("A", PortKind.WORK, "outlet"),
            Port("Y", PortKind.DRAIN, "drain of the spring chamber"),
        ),
        parameters=(
            Parameter(
                "set",
                "pressure",
                "bar",
                "pressure at which it opens",
                needed=True,
                least=0.1 * BAR,
                most=2000 * BAR,
            ),
            rated_flow(60.0, 5.0),
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
        choices=(Choice("reverse", ("free-flow check",)),),
        through=("P", "A"),
        equations=equations,
        results=partial(_pressure_valves.results, "P", "A"),
        state=_pressure_valves.state,
        measures=_pressure_valves.MEASURES,
        sources=("opening worked by the inlet pressure; textbook form, from memory",),
    ),
)
