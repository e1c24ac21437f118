"""Flushing valve: lets hot oil out of the lower side of a closed loop."""

from __future__ import annotations

from circuitcheck.components._common import pressure_data, rated_flow, rated_one_way
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
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

SPOOL_LEAK = 1e-4 * L_MIN / BAR
"""Leakage of the centred spool on each side [m3/(s Pa)]: 0.02 L/min at 200 bar; common
practice, no source."""


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    if part.ways == (3, 3):
        return []
    said = "/".join(str(n) for n in part.ways or ())
    message = f"there is no flushing valve {said}"
    return [("ways", message, "a flushing valve has three ways and three positions: 3/3")]


def equations(part: Part, net: Net) -> None:
    k = rated_one_way(net)
    for low, high in (("A", "B"), ("B", "A")):
        net.modulated(
            f"side {low}",
            low,
            "T",
            k=k,
            opened_by={high: 1.0, low: -1.0},
            offset=-net.value("shifts"),
            band=net.value("band"),
            leak=SPOOL_LEAK,
        )


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"flow": -view.q("T"), "difference": view.p("A") - view.p("B")}


def state(part: Part, view: View) -> list[str]:
    a, b = view.element("side A", "opening"), view.element("side B", "opening")
    return view.words(
        lambda i: "lets A out" if a[i] > 1e-3 else "lets B out" if b[i] > 1e-3 else "centred"
    )


KINDS = (
    Kind(
        word="flushing valve",
        text="Shuttle spool between the sides of a closed loop: the higher side pushes it over, "
        "the lower one goes to T. Centred by springs while both are alike.",
        ports=fixed_ports(
            Port("A", PortKind.WORK, "side A of the loop"),
            Port("B", PortKind.WORK, "side B of the loop"),
            Port("T", PortKind.RETURN, "to the flushing relief"),
        ),
        parameters=(
            rated_flow(5.0, 2.0, "flow out of the lower side"),
            Parameter(
                "shifts",
                "pressure",
                "bar",
                "difference of the sides at which the spool begins to open",
                default=3.0 * BAR,
                least=0.1 * BAR,
            ),
            Parameter(
                "band",
                "pressure",
                "bar",
                "from there to full opening",
                default=3.0 * BAR,
                least=0.1 * BAR,
            ),
            *pressure_data(),
        ),
        has_ways=True,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow out of the loop"),
            Result("difference", "pressure", "side A over side B"),
        ),
        law_text=(
            "A to T opens over its band where p(B) - p(A) exceeds the shifting pressure; "
            "B to T likewise",
            "q = k y root(dp)",
        ),
        sources=("two openings, each worked by the opposite side; textbook form, from memory",),
    ),
)
