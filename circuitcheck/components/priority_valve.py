"""Priority valve: serves one consumer first and lets what is left over to the others."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    SEAT_LEAK,
    capacity,
    one_way_capacity,
    pressure_data,
    rated_flow,
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
)
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

SET_FLOW = "set priority flow"


def ports(part: Part) -> tuple[Port, ...]:
    found = (
        Port("P", PortKind.PRESSURE, "supply"),
        Port("CF", PortKind.WORK, "controlled flow, served first"),
        Port("EF", PortKind.WORK, "excess flow"),
    )
    if part.says(SET_FLOW):
        return found
    return (*found, Port("LS", PortKind.SENSE, "load signal of the first consumer"))


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    if part.says(SET_FLOW) and part.figure("priority") is None:
        return [
            (
                "priority",
                f"how much flow does {part.name} keep for CF?",
                "write, for example:  priority 12 L/min",
            )
        ]
    if not part.says(SET_FLOW) and part.given("priority"):
        return [
            (
                "priority",
                f"{part.name} serves what its load signal asks for, not a set flow",
                f"write  {SET_FLOW}  or leave the flow out",
            )
        ]
    if part.given("signal flow") and not part.says("dynamic"):
        return [
            (
                "signal flow",
                f"{part.name} has a static signal, in which nothing flows",
                "add  dynamic  or leave the flow out",
            )
        ]
    if part.says(SET_FLOW) and part.says("dynamic"):
        return [
            (
                "signal",
                f"{part.name} has no load signal, so it cannot be dynamic",
                f"leave out  dynamic  or  {SET_FLOW}",
            )
        ]
    return []


def equations(part: Part, net: Net) -> None:
    kept, band = np.asarray(net.value("set")), np.asarray(net.value("band"))
    wide = one_way_capacity(net, net.value("flow"), net.value("drop"))
    if part.says(SET_FLOW):
        # the drop over the metering edge is what works the spool
        kept_at, sensed = net.inner("metered"), "CF"
        net.orifice("edge", kept_at, "CF", capacity(net, net.value("priority"), kept + 0.5 * band))
    else:
        kept_at, sensed = "CF", "LS"
        if part.says("dynamic"):
            k = capacity(net, net.value("signal flow"), kept)
            net.orifice("signal", "CF", "LS", k)
    # one spool: it opens EF over the first band, then shuts CF over the next
    net.modulated(
        "excess",
        "P",
        "EF",
        k=wide,
        opened_by={kept_at: 1.0, sensed: -1.0},
        offset=-kept,
        band=band,
        leak=SEAT_LEAK,
    )
    net.modulated(
        "controlled",
        "P",
        kept_at,
        k=wide,
        opened_by={kept_at: -1.0, sensed: 1.0},
        offset=kept + 2.0 * band,
        band=band,
        leak=SEAT_LEAK,
    )


def results(part: Part, view: View) -> dict[str, Figures]:
    edge = view.p("CF") - view.p("LS")
    found = {
        "priority flow": -view.q("CF"),
        "excess flow": view.element("excess"),
        "flow": view.q("P"),
        "drop": view.p("P") - view.p("CF"),
    }
    return found if part.says(SET_FLOW) else found | {"margin": edge}


def state(part: Part, view: View) -> list[str]:
    excess, first = view.element("excess", "opening"), view.element("controlled", "opening")
    coming = view.q("P") > 1e-3 * L_MIN

    def word(i: int) -> str:
        if not coming[i]:
            return "no flow"
        if excess[i] <= 0.0:
            return "all to CF"
        return "throttling CF" if first[i] < 0.98 else "throttling EF"

    return view.words(word)


KINDS = (
    Kind(
        word="priority valve",
        text="Serves CF first: keeps CF a set margin above its load signal LS, or a set flow, "
        "and lets the rest to EF, whichever of the two stands higher.",
        ports=ports,
        parameters=(
            rated_flow(80.0, 5.0, "rated flow of either way, fully open"),
            Parameter(
                "set",
                "pressure",
                "bar",
                "margin CF over LS, or drop of the metering edge, at which EF opens",
                default=7 * BAR,
                least=1e4,
                most=100 * BAR,
                source="4 to 10 bar; common practice, no source",
            ),
            Parameter(
                "band",
                "pressure",
                "bar",
                "from shut to open of each way",
                default=0.5 * BAR,
                least=1e3,
                most=20 * BAR,
            ),
            Parameter("priority", "flow", "L/min", "flow kept for CF", least=1e-9),
            Parameter(
                "signal flow",
                "flow",
                "L/min",
                "flow of the dynamic signal at the set margin",
                default=1.0 * L_MIN,
                least=1e-9,
            ),
            *pressure_data(),
        ),
        choices=(
            Choice("serves", ("load sensing", SET_FLOW), default="load sensing"),
            Choice("signal", ("static", "dynamic"), default="static"),
        ),
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("priority flow", "flow", "flow to CF"),
            Result("excess flow", "flow", "flow to EF"),
            Result("flow", "flow", "flow taken in"),
            Result("drop", "pressure", "supply over CF"),
            Result("margin", "pressure", "CF over its load signal"),
        ),
        law_text=(
            "one spool worked by the margin, p(CF) - p(LS) or the drop over its own edge, "
            "against the spring",
            "it opens EF over one band above the setting, then shuts CF over the next",
            "q = k y root(dp)",
        ),
        sources=("one spool worked by the margin at CF; textbook form, from memory",),
    ),
)
