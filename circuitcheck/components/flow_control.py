"""Two-port flow control with pressure compensator: keeps a set flow whatever the drop."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    SEAT_LEAK,
    THROUGH,
    capacity,
    free_flow_check,
    one_way_capacity,
    pressure_rating,
)
from circuitcheck.components._parts import (
    Choice,
    Figures,
    Kind,
    Parameter,
    Part,
    Result,
    fixed_ports,
)
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

BAND = 0.05
"""Fall of the compensated drop from shut to open compensator, as a share of it; +/- 2 to
5 % of flow is usual (common practice, no source)."""

LITTLE = 1e-3 * L_MIN
"""Flow under which the valve is said to have none [m3/s]."""

INNER_SHARE = 0.6
"""Share of the least drop that stands over the metering edge; own choice."""


def equations(part: Part, net: Net) -> None:
    flow, least = net.order("flow", net.value("flow")), np.asarray(net.value("least"))
    inner = net.inner("metered")
    kept = INNER_SHARE * least
    net.modulated(
        "compensator",
        "in",
        inner,
        k=one_way_capacity(net, flow, least - kept),
        opened_by={inner: -1.0, "out": 1.0},
        offset=kept,
        band=BAND * kept,
        leak=SEAT_LEAK,
    )
    net.orifice("edge", inner, "out", capacity(net, flow, kept))
    if part.says("free-flow check"):
        free_flow_check(net, "check", "out", "in", capacity(net, 60 * L_MIN, 2 * BAR))


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"flow": view.q("in"), "drop": view.p("in") - view.p("out")}


def state(part: Part, view: View) -> list[str]:
    free, opening = view.element("check", "opening"), view.element("compensator", "opening")
    flow = view.element("edge")

    def word(i: int) -> str:
        if free[i] > 0.0:
            return "check open"
        if flow[i] < LITTLE:
            return "no flow"
        return "short of drop" if opening[i] > 0.98 else "regulating"

    return view.words(word)


KINDS = (
    Kind(
        word="flow control",
        text="Keeps the set flow from in to out above its least drop.",
        ports=fixed_ports(*THROUGH),
        parameters=(
            Parameter("flow", "flow", "L/min", "set flow", bare=True, needed=True, least=1e-9),
            Parameter(
                "least",
                "pressure",
                "bar",
                "least drop for regulating",
                default=8 * BAR,
                least=1e4,
                source="6 to 12 bar; from memory",
            ),
            pressure_rating(),
        ),
        choices=(
            Choice("build", ("pressure compensated",), default="pressure compensated"),
            Choice("reverse", ("free-flow check",)),
        ),
        orders=(Parameter("flow", "flow", "L/min", "set flow in this step", least=1e-9),),
        through=("in", "out"),
        equations=equations,
        results=results,
        state=state,
        measures=(Result("flow", "flow", "flow in to out"), Result("drop", "pressure", "drop")),
        sources=("compensator in series with a metering edge; textbook form, from memory",),
    ),
)
