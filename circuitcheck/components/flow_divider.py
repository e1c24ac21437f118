"""Spool flow divider: shares a flow between two outlets; as divider-combiner both ways."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    FREE_FLOW_BAND,
    SEAT_LEAK,
    capacity,
    one_way_capacity,
    pressure_data,
)
from circuitcheck.components._edge_leakage import leakage_of, leakage_parameter
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
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

MEASURING = 0.6
"""Share of the rated drop that stands over the measuring orifices; own choice."""

BAND = 0.03
"""Difference of the measured drops that moves the spool over its whole way, share of the
measuring drop; own choice (0.4 % of flow)."""

LEAST_SHARE = 0.3
"""Share of the rated flow below which the split is poor; common practice, no source."""

POOR = 0.08
"""Share that one outlet may be off before it is called not shared; own choice."""

COMBINING = "divides and combines"


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    """The flow force must stay well below the force of the measured drops."""
    error, at, drop = (part.figures[n] for n in ("error", "error difference", "drop"))
    if 4.0 * error.value * MEASURING * drop.value > 0.3 * at.value:
        return [
            (
                "error",
                f"{part.name} is off by {error.text} at {at.text} already, with a drop of "
                f"{drop.text}",
                "such a spool would follow its outlets and not share: look at the three figures",
            )
        ]
    return []


def equations(part: Part, net: Net) -> None:
    flow, drop = np.asarray(net.value("flow")), np.asarray(net.value("drop"))
    to_a = np.asarray(net.value("share A"))
    leak = leakage_of(net)
    measuring = MEASURING * drop
    band = BAND * measuring
    # flows of (1 + e) and (1 - e) differ by 4 e of the measuring drop; a flow force in
    # proportion to the drop over each edge makes that difference
    force = 4.0 * np.asarray(net.value("error")) * measuring / net.value("error difference")
    inner = {"A": net.inner("measured A"), "B": net.inner("measured B")}
    for outlet, other, share in (("A", "B", to_a), ("B", "A", 1.0 - to_a)):
        own, next_ = inner[outlet], inner[other]
        passed = share * flow
        net.orifice(f"P-{outlet}", "P", own, capacity(net, passed, measuring))
        wide = one_way_capacity(net, passed, (1.0 - MEASURING) * drop, 0.5)
        net.modulated(
            f"edge {outlet}",
            own,
            outlet,
            k=wide,
            opened_by={own: 1.0 - force, next_: force - 1.0, outlet: force, other: -force},
            offset=0.5 * band,
            band=band,
            leak=leak,
        )
        if part.says(COMBINING):
            # backwards the spool is hooked the other way round
            net.modulated(
                f"back {outlet}",
                outlet,
                own,
                k=wide,
                opened_by={own: force - 1.0, next_: 1.0 - force, outlet: -force, other: force},
                offset=0.5 * band,
                band=band,
                leak=SEAT_LEAK,
            )
        else:
            net.modulated(
                f"back {outlet}",
                outlet,
                own,
                k=0.5 * wide,
                opened_by={outlet: 1.0, own: -1.0},
                offset=0.0,
                band=FREE_FLOW_BAND,
            )


def split(view: View) -> tuple[Array, Array]:
    """Flow through the valve, P to A and B, and the share of it that is A's."""
    a, b = view.element("P-A"), view.element("P-B")
    with np.errstate(divide="ignore", invalid="ignore"):
        return a + b, np.where(np.abs(a + b) > 1e-2 * L_MIN, a / (a + b), np.nan)


def results(part: Part, view: View) -> dict[str, Figures]:
    flow, to_a = split(view)
    return {
        "flow": flow,
        "flow A": view.element("P-A"),
        "flow B": view.element("P-B"),
        "part A": to_a,
        "drop": view.p("P") - np.minimum(view.p("A"), view.p("B")),
    }


def state(part: Part, view: View) -> list[str]:
    flow, to_a = split(view)
    rated, wanted = np.asarray(view.value("flow")), np.asarray(view.value("share A"))
    few = np.abs(flow) < LEAST_SHARE * rated
    off = np.broadcast_to(np.abs(to_a - wanted) > POOR, flow.shape)

    def word(i: int) -> str:
        if not np.isfinite(to_a[i]):
            return "no flow"
        if flow[i] < 0.0 and not part.says(COMBINING):
            return "passing back, not shared"
        if min(to_a[i], 1.0 - to_a[i]) < 0.01:
            return "stopped, one side blocked"
        name = "dividing" if flow[i] > 0.0 else "combining"
        if few[i]:
            return f"{name}, flow too small to share well"
        return f"{name}, not shared" if off[i] else name

    return view.words(word)


KINDS = (
    Kind(
        word="flow divider",
        text="Spool that shares the flow from P between A and B in a set ratio, whatever their "
        "pressures; backwards it passes oil freely, or combines in that ratio.",
        ports=fixed_ports(
            Port("P", PortKind.PRESSURE, "inlet"),
            Port("A", PortKind.WORK, "outlet A"),
            Port("B", PortKind.WORK, "outlet B"),
        ),
        parameters=(
            Parameter(
                "flow",
                "flow",
                "L/min",
                "rated flow at P",
                default=40 * L_MIN,
                bare=True,
                least=1e-7,
                at=Parameter(
                    "drop",
                    "pressure",
                    "bar",
                    "drop at the rated flow and equal outlets",
                    default=8 * BAR,
                    least=BAR,
                    most=100 * BAR,
                    source="5 to 14 bar; common practice, no source",
                ),
            ),
            Parameter(
                "share A",
                "share",
                "%",
                "share of the flow that A gets",
                default=0.5,
                least=0.05,
                most=0.95,
            ),
            Parameter(
                "error",
                "share",
                "%",
                "split error at rated flow, share of each flow",
                default=0.04,
                least=0.0,
                most=0.2,
                source="2 to 10 %; common practice, no source",
                at=Parameter(
                    "error difference",
                    "pressure",
                    "bar",
                    "difference of the outlets at that error",
                    default=200 * BAR,
                    least=10 * BAR,
                    most=1000 * BAR,
                ),
            ),
            leakage_parameter(0.1 * L_MIN),
            *pressure_data(),
        ),
        choices=(Choice("ways", ("divides only", COMBINING), default="divides only"),),
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow taken in at P"),
            Result("flow A", "flow", "flow to A"),
            Result("flow B", "flow", "flow to B"),
            Result("part A", "share", "share of the flow that A gets"),
            Result("drop", "pressure", "inlet over the lower outlet"),
        ),
        law_text=(
            "two measuring orifices, q = k root(dp), k from share x rated flow",
            "behind each an edge that the difference of the two measured pressures "
            "throttles; its band gives the error",
        ),
        sources=(
            "two measuring orifices and a spool that equals their drops; textbook form, from "
            "memory",
            "flow forces shut the edge with the greater drop, so that the outlet with the "
            "higher pressure gets more; textbook form, from memory",
        ),
    ),
)
