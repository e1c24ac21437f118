"""Check valve: free flow one way, shut the other."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    SEAT_LEAK,
    THROUGH,
    check_band,
    check_mistakes,
    pressure_rating,
    rated_flow,
    rated_one_way,
)
from circuitcheck.components._parts import Figures, Kind, Parameter, Part, Result, fixed_ports
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View


def equations(part: Part, net: Net) -> None:
    net.modulated(
        "seat",
        "in",
        "out",
        k=rated_one_way(net),
        opened_by={"in": 1.0, "out": -1.0},
        offset=-np.asarray(net.value("cracking")),
        band=check_band(net),
        leak=SEAT_LEAK,
    )


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"flow": view.element("seat"), "drop": view.p("in") - view.p("out")}


def state(part: Part, view: View) -> list[str]:
    opening = view.element("seat", "opening")
    return view.words(lambda i: "open" if opening[i] > 0.0 else "seated")


KINDS = (
    Kind(
        word="check",
        other_words=("check valve",),
        text="Free flow from in to out.",
        ports=fixed_ports(*THROUGH),
        parameters=(
            Parameter(
                "cracking",
                "pressure",
                "bar",
                "drop at which it opens",
                default=0.3 * BAR,
                bare=True,
                least=0.0,
                most=50 * BAR,
            ),
            rated_flow(60.0, 1.5),
            Parameter(
                "band",
                "pressure",
                "bar",
                "from cracking to full opening",
                default=0.5 * BAR,
                least=1e3,
            ),
            pressure_rating(),
        ),
        through=("in", "out"),
        mistakes=check_mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(Result("flow", "flow", "flow"), Result("drop", "pressure", "drop")),
        sources=("one-way opening with cracking pressure; textbook form, from memory",),
    ),
)
