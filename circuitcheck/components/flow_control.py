"""Two-port flow control with pressure compensator: keeps a set flow whatever the drop."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _edges
from circuitcheck.components._common import (
    FREE_FLOW_BAND,
    SEAT_LEAK,
    THROUGH,
    capacity,
    free_flow_check,
    one_way_capacity,
    pressure_data,
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

COMPENSATED, UNCOMPENSATED = "temperature compensated", "not temperature compensated"
VISCOUS = {COMPENSATED: 0.0, UNCOMPENSATED: 0.2}
"""Share of the metering drop that is viscous; common practice, no source."""

BOTH_WAYS = "controlled both ways"
FREE = (60 * L_MIN, 2 * BAR)
"""Flow of the checks at their drop; common practice, no source."""


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    kept = part.choices.get("temperature", COMPENSATED)
    return {"viscous": (VISCOUS[kept], f"{kept}; common practice, no source")}


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    if part.given("viscous") and part.says(COMPENSATED) and part.figures["viscous"].value > 0.05:
        return [
            (
                "viscous",
                f"{part.name} is called temperature compensated, but its edge is viscous",
                f"write  {UNCOMPENSATED}  or leave the share out",
            )
        ]
    return []


def core(net: Net, inlet: str, outlet: str) -> None:
    """Compensator and metering edge from inlet to outlet; backwards the plain edge."""
    flow, least = net.order("flow", net.value("flow")), np.asarray(net.value("least"))
    inner = net.inner("metered")
    kept = INNER_SHARE * least
    wide = one_way_capacity(net, flow, least - kept)
    net.modulated(
        "compensator",
        inlet,
        inner,
        k=wide,
        opened_by={inner: -1.0, outlet: 1.0},
        offset=(1.0 + 0.5 * BAND) * kept,
        band=BAND * kept,
        leak=SEAT_LEAK,
    )
    # backwards the spring holds the compensator open
    net.modulated(
        "backwards",
        inner,
        inlet,
        k=wide,
        opened_by={inner: 1.0, inlet: -1.0},
        offset=0.0,
        band=FREE_FLOW_BAND,
    )
    viscous = np.asarray(net.value("viscous"))
    if np.max(viscous) >= _edges.NEGLIGIBLE:
        _edges.part_viscous(net, "edge", inner, outlet, flow, kept, viscous, 1.0)
    else:
        net.orifice("edge", inner, outlet, capacity(net, flow, kept))


def equations(part: Part, net: Net) -> None:
    if part.says(BOTH_WAYS):
        front, behind = net.inner("front"), net.inner("behind")
        k = one_way_capacity(net, *FREE)
        for name, a, b in (
            ("check in", "in", front),
            ("check out", "out", front),
            ("check to in", behind, "in"),
            ("check to out", behind, "out"),
        ):
            free_flow_check(net, name, a, b, k)
        core(net, front, behind)
        return
    core(net, "in", "out")
    if part.says("free-flow check"):
        free_flow_check(net, "check", "out", "in", one_way_capacity(net, *FREE))


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"flow": view.q("in"), "drop": view.p("in") - view.p("out")}


def state(part: Part, view: View) -> list[str]:
    free, opening = view.element("check", "opening"), view.element("compensator", "opening")
    flow = view.element("edge")

    def word(i: int) -> str:
        if free[i] > 0.0:
            return "check open"
        if flow[i] < -1e-3 * L_MIN:
            return "throttling backwards"
        if flow[i] <= 1e-3 * L_MIN:
            return "no flow"
        return "short of drop" if opening[i] > 0.98 else "regulating"

    return view.words(word)


KINDS = (
    Kind(
        word="flow control",
        text="Keeps the set flow from in to out above its least drop. Backwards it is a plain "
        "throttle, unless it has a check or is controlled both ways by four checks.",
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
            Parameter(
                "viscous",
                "share",
                "%",
                "share of the metering drop that is viscous, at 32 cSt",
                least=0.0,
                most=0.9,
            ),
            *pressure_data(),
        ),
        choices=(
            Choice("build", ("pressure compensated",), default="pressure compensated"),
            Choice("temperature", tuple(VISCOUS), default=COMPENSATED),
            Choice("reverse", ("free-flow check", BOTH_WAYS)),
        ),
        orders=(Parameter("flow", "flow", "L/min", "set flow in this step", least=1e-9),),
        through=("in", "out"),
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(Result("flow", "flow", "flow in to out"), Result("drop", "pressure", "drop")),
        law_text=(
            "edge: q = k root(dp), k from the set flow at the compensator's spring",
            "compensator in series: opens less as the drop over the edge grows, over a "
            "band of 5 % round the spring's pressure",
        ),
        sources=(
            "compensator in series with a metering edge, flow forces in its band; textbook "
            "form, from memory",
            "the set flow is that of the half open compensator; common practice, no source",
            "sharp metering edge = temperature compensated; common practice, no source",
        ),
    ),
)
