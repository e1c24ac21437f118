"""Two-way cartridge valve (logic element): what is joined to X makes it check or relief."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    SEAT_LEAK,
    WHOLE,
    one_way_capacity,
    pressure_data,
    rated_flow,
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
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View


def shares(of: Net | View) -> tuple[Array, Array]:
    """Shares of the area under X on which A and B act."""
    at_a = np.asarray(of.value("area A"), dtype=float)
    return at_a, 1.0 - at_a


def equations(part: Part, net: Net) -> None:
    at_a, at_b = shares(net)
    # it is fully open at its rated flow, so the rated drop must leave room for spring and band
    k = one_way_capacity(net, net.value("flow"), net.value("drop"), WHOLE)
    for name, a, b in (("A to B", "A", "B"), ("B to A", "B", "A")):
        net.modulated(
            name,
            a,
            b,
            k=k,
            opened_by={"A": at_a, "B": at_b, "X": -1.0},
            offset=-np.asarray(net.value("spring")),
            band=net.value("band"),
            leak=0.5 * SEAT_LEAK,
        )


def results(part: Part, view: View) -> dict[str, Figures]:
    at_a, at_b = shares(view)
    lift = at_a * view.p("A") + at_b * view.p("B") - view.p("X")
    return {
        "flow": view.q("A"),
        "drop": view.p("A") - view.p("B"),
        "pilot pressure": view.p("X"),
        "opening": view.element("A to B", "opening"),
        "lift": np.broadcast_to(lift - np.asarray(view.value("spring")), (view.variants,)),
    }


def state(part: Part, view: View) -> list[str]:
    opening = view.element("A to B", "opening")
    return view.words(
        lambda i: "closed" if opening[i] <= 0.0 else "open" if opening[i] > 0.98 else "part open"
    )


KINDS = (
    Kind(
        word="cartridge",
        other_words=("cartridge valve", "logic element"),
        text="Poppet between A and B, pushed open by the pressures there and shut by that at X "
        "and a spring. X joined to A or B makes it a check, to a pilot relief a relief, to a "
        "valve a shut-off.",
        ports=fixed_ports(
            Port("A", PortKind.WORK, "under the poppet"),
            Port("B", PortKind.WORK, "beside the poppet"),
            Port("X", PortKind.PILOT, "over the poppet"),
        ),
        parameters=(
            Parameter(
                "area A",
                "share",
                "%",
                "area at A as a share of that at X; the rest is at B",
                default=0.6,
                least=0.3,
                most=1.0,
                source="50 to 100 %; common practice, no source",
            ),
            Parameter(
                "spring",
                "pressure",
                "bar",
                "spring, as a pressure over the whole area",
                default=2.0 * BAR,
                least=0.0,
                most=20 * BAR,
                source="0.5 to 4 bar; common practice, no source",
            ),
            rated_flow(100.0, 5.0, "rated flow, fully open"),
            Parameter(
                "band",
                "pressure",
                "bar",
                "from opening to full opening",
                default=1.0 * BAR,
                least=1e4,
                most=20 * BAR,
                source="1 to 3 bar; common practice, no source",
            ),
            *pressure_data(),
        ),
        through=("A", "B"),
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow from A to B"),
            Result("drop", "pressure", "A over B"),
            Result("pilot pressure", "pressure", "pressure at X"),
            Result("opening", "share", "opening of the poppet"),
            Result("lift", "pressure", "what pushes it open over what pushes it shut"),
        ),
        law_text=(
            "poppet: opening in proportion to a_A p(A) + a_B p(B) - p(X) - spring over "
            "its band, a_A + a_B = 1",
            "both directions: q = k y root(dp)",
        ),
        sources=("force balance of the poppet; flow forces left out; textbook form, from memory",),
    ),
)
