"""Shuttle valve: passes on the higher of two pressures."""

from __future__ import annotations

from circuitcheck.components._common import SEAT_LEAK, pressure_rating, rated_flow, rated_one_way
from circuitcheck.components._parts import (
    Figures,
    Kind,
    Part,
    Port,
    PortKind,
    Result,
    fixed_ports,
)
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

BAND = 0.2 * BAR
"""Difference that carries the ball over [Pa]; common practice, no source."""


def equations(part: Part, net: Net) -> None:
    k = rated_one_way(net)
    for side, other in (("1", "2"), ("2", "1")):
        net.modulated(
            f"seat {side}",
            side,
            "out",
            k=k,
            opened_by={side: 1.0, other: -1.0},
            offset=0.5 * BAND,
            band=BAND,
            leak=SEAT_LEAK,
        )


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"pressure": view.p("out"), "flow": -view.q("out")}


def state(part: Part, view: View) -> list[str]:
    one, two = view.element("seat 1", "opening"), view.element("seat 2", "opening")
    return view.words(
        lambda i: "passes 1" if one[i] > two[i] else "passes 2" if two[i] > one[i] else "midway"
    )


KINDS = (
    Kind(
        word="shuttle",
        other_words=("shuttle valve",),
        text="The higher of 1 and 2 goes to out.",
        ports=fixed_ports(
            Port("1", PortKind.SENSE, "first inlet"),
            Port("2", PortKind.SENSE, "second inlet"),
            Port("out", PortKind.SENSE, "higher pressure"),
        ),
        parameters=(rated_flow(5.0, 2.0), pressure_rating()),
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("pressure", "pressure", "pressure passed on"),
            Result("flow", "flow", "flow out"),
        ),
        sources=("two one-way seats, each opened by its own side; textbook form, from memory",),
    ),
)
