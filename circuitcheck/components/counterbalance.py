"""Counterbalance valve: holds a load, lets it down under pilot pressure, free flow up."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    SEAT_LEAK,
    free_flow_check,
    pressure_rating,
    rated_flow,
    rated_one_way,
)
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

CHECK_OPEN = 1e-3
"""Opening of the check under which only a trickle passes it."""


def equations(part: Part, net: Net) -> None:
    k, ratio = rated_one_way(net), np.asarray(net.value("pilot"))
    back = 0.0 if part.says("vented") else 1.0
    net.modulated(
        "seat",
        "C",
        "V",
        k=k,
        opened_by={"C": 1.0, "X": ratio, "V": -back * (1.0 + ratio)},
        offset=-np.asarray(net.value("set")),
        band=net.value("band"),
        leak=SEAT_LEAK,
    )
    free_flow_check(net, "check", "V", "C", k)


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": -view.q("V"),
        "pressure": view.p("C"),
        "drop": view.p("C") - view.p("V"),
        "pilot pressure": view.p("X"),
    }


def state(part: Part, view: View) -> list[str]:
    opening, up = view.element("seat", "opening"), view.element("check", "opening")

    def word(i: int) -> str:
        if up[i] > CHECK_OPEN:
            return "check open"
        return "closed" if opening[i] <= 0.0 else "fully open" if opening[i] > 0.98 else "lowering"

    return view.words(word)


KINDS = (
    Kind(
        word="counterbalance",
        other_words=("counterbalance valve",),
        text="Holds the load at C; load and pilot pressure open it to V; free flow V to C.",
        ports=fixed_ports(
            Port("V", PortKind.WORK, "valve side"),
            Port("C", PortKind.WORK, "load side"),
            Port("X", PortKind.PILOT, "pilot"),
        ),
        parameters=(
            Parameter(
                "set",
                "pressure",
                "bar",
                "load pressure that opens it without pilot",
                needed=True,
                least=0.1 * BAR,
                most=2000 * BAR,
            ),
            Parameter("pilot", "ratio", "", "pilot ratio", default=3.0, least=0.0, most=50.0),
            rated_flow(60.0, 8.0),
            Parameter(
                "band",
                "pressure",
                "bar",
                "from opening to full opening",
                default=20 * BAR,
                least=1e4,
            ),
            pressure_rating(),
        ),
        choices=(Choice("spring chamber", ("vented",)),),
        through=("V", "C"),
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow out of the valve side"),
            Result("pressure", "pressure", "load-side pressure"),
            Result("drop", "pressure", "load side over valve side"),
            Result("pilot pressure", "pressure", "pressure at X"),
        ),
        sources=(
            "load + ratio x pilot = setting + (1 + ratio) x back pressure: textbook, from memory",
        ),
    ),
)
