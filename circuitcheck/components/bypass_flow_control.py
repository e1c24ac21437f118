"""Three-port flow control: keeps a set flow to its outlet and lets the rest past to tank."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    SEAT_LEAK,
    WHOLE,
    capacity,
    one_way_capacity,
    pressure_data,
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
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

BAND = 0.08
"""Rise of the kept drop from shut to open bypass, as a share of it; common practice, no
source (4 % of flow)."""

PILOT_FLOW = 1.0 * L_MIN
"""Flow through the orifice to the spring chamber at 5 bar; common practice, no source."""

PILOT_RISE = 0.03
"""Cracking to setting of the pressure limit, share of it; common practice, no source."""


def equations(part: Part, net: Net) -> None:
    flow, kept = net.order("flow", net.value("flow")), np.asarray(net.value("spring"))
    limit = net.value_of("limit")
    # the flow is met with the bypass half open
    net.orifice("edge", "in", "out", capacity(net, flow, kept))
    chamber = "out"
    if limit is not None:
        chamber = net.inner("spring chamber")
        net.orifice("pilot orifice", "out", chamber, capacity(net, PILOT_FLOW, 5 * BAR))
        rise = PILOT_RISE * np.asarray(limit)
        net.modulated(
            "pilot",
            chamber,
            "T",
            k=one_way_capacity(net, 2.0 * PILOT_FLOW, limit, WHOLE),
            opened_by={chamber: 1.0, "T": -1.0},
            offset=rise - np.asarray(limit),
            band=rise,
        )
    band = BAND * kept
    net.modulated(
        "bypass",
        "in",
        "T",
        k=one_way_capacity(net, net.value("bypass"), net.value("bypass drop"), WHOLE),
        opened_by={"in": 1.0, chamber: -1.0},
        offset=-(kept - 0.5 * band),
        band=band,
        leak=SEAT_LEAK,
    )


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": view.element("edge"),
        "bypass flow": view.element("bypass"),
        "drop": view.p("in") - view.p("out"),
        "pressure": view.p("in"),
    }


def state(part: Part, view: View) -> list[str]:
    opening, pilot = view.element("bypass", "opening"), view.element("pilot", "opening")
    passed = view.element("edge")

    def word(i: int) -> str:
        if pilot[i] > 0.0:
            return "at its limit"
        if opening[i] > 0.98:
            return "bypass wide open"
        if passed[i] <= 1e-3 * L_MIN and opening[i] <= 0.0:
            return "no flow"
        return "short of flow" if opening[i] <= 0.0 else "regulating"

    return view.words(word)


KINDS = (
    Kind(
        word="bypass flow control",
        other_words=("three-port flow control",),
        text="Keeps the set flow from in to out; what more comes in goes to T. The pressure at "
        "its inlet is that of the outlet and its spring. The way to T must stand lower than "
        "the outlet.",
        ports=fixed_ports(
            Port("in", PortKind.PRESSURE, "inlet"),
            Port("out", PortKind.WORK, "outlet of the set flow"),
            Port("T", PortKind.RETURN, "bypass to tank"),
        ),
        parameters=(
            Parameter("flow", "flow", "L/min", "set flow", bare=True, needed=True, least=1e-9),
            Parameter(
                "spring",
                "pressure",
                "bar",
                "drop that it keeps, inlet over outlet",
                default=6 * BAR,
                least=1e4,
                most=100 * BAR,
                source="4 to 10 bar; common practice, no source",
            ),
            Parameter(
                "bypass",
                "flow",
                "L/min",
                "rated flow of the bypass",
                default=100 * L_MIN,
                least=1e-8,
                at=Parameter(
                    "bypass drop",
                    "pressure",
                    "bar",
                    "drop of that flow, fully open",
                    default=4 * BAR,
                    least=1e3,
                ),
            ),
            Parameter(
                "limit", "pressure", "bar", "pressure limit at the outlet, by its pilot", least=BAR
            ),
            *pressure_data(),
        ),
        orders=(Parameter("flow", "flow", "L/min", "set flow in this step", least=1e-9),),
        through=("in", "out"),
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow to the outlet"),
            Result("bypass flow", "flow", "flow to tank"),
            Result("drop", "pressure", "inlet over outlet"),
            Result("pressure", "pressure", "pressure at the inlet"),
        ),
        law_text=(
            "edge in to out: q = k root(dp), k from the set flow at the spring's pressure",
            "bypass in to T opens in proportion to p(in) - p(spring chamber) over a band "
            "round the spring's pressure",
            "with a limit, a pilot relief holds the spring chamber",
        ),
        sources=("bypass worked by the drop over the metering edge; textbook form, from memory",),
    ),
)
