"""Two seats and what goes to and fro between them: shuttle and two-pressure valve.

Each seat passes both ways, so that a signal also comes down through it; its two directions
are elements of their own, opened by the pressures of the inlets alone.
"""

from __future__ import annotations

from circuitcheck.components._common import SEAT_LEAK, rated_one_way
from circuitcheck.components._parts import Figures, Parameter, Part, Port, PortKind, Result
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

BAND = Parameter(
    "band",
    "pressure",
    "bar",
    "difference that carries it over",
    default=0.2 * BAR,
    least=1e3,
    most=10 * BAR,
)

MEASURES = (
    Result("pressure", "pressure", "pressure passed on"),
    Result("flow", "flow", "flow out"),
)


def ports(outlet: str) -> tuple[Port, ...]:
    return (
        Port("1", PortKind.SENSE, "first inlet"),
        Port("2", PortKind.SENSE, "second inlet"),
        Port("out", PortKind.SENSE, outlet),
    )


def seats(net: Net, *, higher: bool) -> None:
    """Write both seats: a seat is open where its side is the ``higher`` one, else the lower."""
    k, band, way = rated_one_way(net), net.value("band"), 1.0 if higher else -1.0
    for side, other in (("1", "2"), ("2", "1")):
        opened_by = {side: way, other: -way}
        for name, a, b in ((f"seat {side}", side, "out"), (f"back {side}", "out", side)):
            net.modulated(
                name,
                a,
                b,
                k=k,
                opened_by=opened_by,
                offset=0.5 * band,
                band=band,
                leak=0.5 * SEAT_LEAK,
            )


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"pressure": view.p("out"), "flow": -view.q("out")}


def state(part: Part, view: View) -> list[str]:
    one, two = view.element("seat 1", "opening"), view.element("seat 2", "opening")
    return view.words(
        lambda i: "passes 1" if one[i] > two[i] else "passes 2" if two[i] > one[i] else "midway"
    )
