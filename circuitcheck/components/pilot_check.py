"""Pilot-operated check valve: shut against reverse flow until its pilot opens it."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    SEAT_LEAK,
    check_band,
    check_mistakes,
    pressure_rating,
    rated_flow,
    rated_one_way,
)
from circuitcheck.components._parts import (
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
    k, ratio = rated_one_way(net), np.asarray(net.value("ratio"))
    crack, band = np.asarray(net.value("cracking")), check_band(net)
    net.modulated(
        "seat",
        "in",
        "out",
        k=k,
        opened_by={"in": 1.0, "out": -1.0},
        offset=-crack,
        band=band,
        leak=SEAT_LEAK,
    )
    # the pilot piston stands on the inlet side, so pressure there works against it
    net.modulated(
        "released",
        "out",
        "in",
        k=k,
        opened_by={"X": ratio, "in": 1.0 - ratio, "out": -1.0},
        offset=-crack,
        band=band,
    )


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": view.q("in"),
        "pressure": view.p("out"),
        "drop": view.p("in") - view.p("out"),
        "pilot pressure": view.p("X"),
    }


def state(part: Part, view: View) -> list[str]:
    forward, back = view.element("seat", "opening"), view.element("released", "opening")
    return view.words(
        lambda i: "open" if forward[i] > 0.0 else "released" if back[i] > 0.0 else "seated"
    )


KINDS = (
    Kind(
        word="pilot check",
        other_words=("pilot-operated check",),
        text="Free flow from in to out; back only while the pilot X holds it open.",
        ports=fixed_ports(
            Port("in", PortKind.WORK, "valve side"),
            Port("out", PortKind.WORK, "load side"),
            Port("X", PortKind.PILOT, "pilot"),
        ),
        parameters=(
            Parameter(
                "ratio",
                "ratio",
                "",
                "pilot area over seat area",
                default=3.0,
                bare=True,
                least=0.1,
                most=100.0,
            ),
            Parameter(
                "cracking",
                "pressure",
                "bar",
                "drop at which it opens",
                default=0.5 * BAR,
                least=0.0,
                most=50 * BAR,
            ),
            rated_flow(60.0, 2.0),
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
        measures=(
            Result("flow", "flow", "flow towards the load"),
            Result("pressure", "pressure", "load-side pressure"),
            Result("drop", "pressure", "drop"),
            Result("pilot pressure", "pressure", "pressure at X"),
        ),
        sources=("force balance of seat and pilot piston; textbook form, from memory",),
    ),
)
