"""Pressure compensator: keeps a set drop between its outlet and a sensed pressure."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import SEAT_LEAK, pressure_data, rated_flow, rated_one_way
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


def equations(part: Part, net: Net) -> None:
    band = np.asarray(net.value("band"))
    net.modulated(
        "seat",
        "P",
        "A",
        k=rated_one_way(net),
        opened_by={"A": -1.0, "X": 1.0},
        offset=np.asarray(net.value("set")) + 0.5 * band,
        band=band,
        leak=SEAT_LEAK,
    )


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": view.element("seat"),
        "drop": view.p("P") - view.p("A"),
        "margin": view.p("A") - view.p("X"),
    }


def state(part: Part, view: View) -> list[str]:
    opening = view.element("seat", "opening")
    return view.words(
        lambda i: "closed" if opening[i] <= 0.0 else "open" if opening[i] > 0.98 else "regulating"
    )


KINDS = (
    Kind(
        word="compensator",
        text="Keeps A at its setting above X, from P; placed before a metering edge.",
        ports=fixed_ports(
            Port("P", PortKind.PRESSURE, "inlet"),
            Port("A", PortKind.WORK, "to the metering edge"),
            Port("X", PortKind.SENSE, "pressure behind the metering edge"),
        ),
        parameters=(
            Parameter(
                "set",
                "pressure",
                "bar",
                "drop that it keeps, half open",
                default=7 * BAR,
                least=1e4,
            ),
            rated_flow(60.0, 5.0),
            Parameter(
                "band", "pressure", "bar", "from shut to fully open", default=2 * BAR, least=1e3
            ),
            *pressure_data(),
        ),
        choices=(Choice("place", ("upstream",), default="upstream"),),
        through=("P", "A"),
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow"),
            Result("drop", "pressure", "drop"),
            Result("margin", "pressure", "outlet over sensed pressure"),
        ),
        law_text=(
            "q = k y root(dp), k from rated flow at rated drop",
            "y = 1/2 + (set + p(X) - p(A))/band, between 0 and 1",
        ),
        sources=(
            "opening worked by the kept drop; textbook form, from memory",
            "the setting is the drop in the middle of the band; common practice, no source",
        ),
    ),
)
