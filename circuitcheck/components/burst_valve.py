"""Hose burst valve: shuts when flow towards the hose exceeds its closing flow."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    SEAT_LEAK,
    circle,
    pressure_data,
    rated,
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
from circuitcheck.laws.net import Bools, Net
from circuitcheck.laws.view import View

C_D = 0.62
"""Flow coefficient of the bleed hole, sharp-edged; Merritt 1967, from memory."""

HALF_SHUT = 0.9
"""Share of the closing flow above which the drop is told as near to closing; own choice."""


def equations(part: Part, net: Net) -> None:
    bleed = net.value_of("bleed")
    shut = 0.0 if bleed is None else C_D * circle(bleed) * np.sqrt(2.0 / net.oil.rho)
    net.orifice("plate", "in", "out", np.where(net.latched, shut, rated(net)), SEAT_LEAK)


def latch(part: Part, view: View) -> tuple[Bools, Bools]:
    """It shuts above its closing flow and stays shut until both sides are all but equal."""
    drop = view.p("in") - view.p("out")
    apart = drop > np.asarray(view.value("reopens"))
    fast = view.element("plate") > np.asarray(view.value("closes"))
    return np.where(view.latched, apart, fast & apart), ~apart


def results(part: Part, view: View) -> dict[str, Figures]:
    flow = view.element("plate")
    return {
        "flow": flow,
        "drop": view.p("in") - view.p("out"),
        "pressure": view.p("in"),
        "closing share": np.where(view.latched, 1.0, flow / np.asarray(view.value("closes"))),
    }


def state(part: Part, view: View) -> list[str]:
    share = view.element("plate") / np.asarray(view.value("closes"))

    def word(i: int) -> str:
        if view.latched[i]:
            return "shut"
        return "open, near to closing" if share[i] > HALF_SHUT else "open"

    return view.words(word)


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    if "closes" not in part.figures:
        return []  # that it must be said is told elsewhere
    closes, flow, drop = (part.figures[name] for name in ("closes", "flow", "drop"))
    reopens = part.figures["reopens"]
    closing_drop = drop.value * (closes.value / flow.value) ** 2
    if closing_drop <= reopens.value:
        return [
            (
                "closes",
                f"{part.name} drops only {closing_drop / BAR:.2g} bar at its closing flow "
                f"{closes.text}, and would reopen at {reopens.text}",
                "its plate shuts against a spring by the drop; look at 'flow ... at', 'reopens'",
            )
        ]
    return []


KINDS = (
    Kind(
        word="burst valve",
        other_words=("hose burst valve",),
        text="Open both ways; shuts when the flow from in (load) to out (hose) exceeds its "
        "closing flow, and stays shut in the steps that follow until the pressures on both "
        "sides are all but equal.",
        ports=fixed_ports(
            Port("in", PortKind.WORK, "load side"), Port("out", PortKind.WORK, "hose side")
        ),
        parameters=(
            Parameter(
                "closes",
                "flow",
                "L/min",
                "flow at which it shuts; 1.5 to 2 times the greatest in work",
                needed=True,
                least=1e-6,
                most=0.1,
            ),
            rated_flow(40.0, 4.0),
            Parameter(
                "reopens",
                "pressure",
                "bar",
                "drop under which it opens again",
                default=1.0 * BAR,
                least=0.05 * BAR,
                most=20 * BAR,
                source="own choice: pressures all but equal",
            ),
            Parameter(
                "bleed",
                "length",
                "mm",
                "hole that lets the load down slowly while it is shut",
                least=1e-4,
                most=5e-3,
            ),
            *pressure_data(),
        ),
        through=("in", "out"),
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        latch=latch,
        measures=(
            Result("flow", "flow", "flow towards the hose"),
            Result("drop", "pressure", "load side over hose side"),
            Result("pressure", "pressure", "load-side pressure"),
            Result("closing share", "share", "flow as a share of the closing flow"),
        ),
        law_text=(
            "open: q = k root(dp), k from rated flow at rated drop",
            "shuts in the step after its flow out exceeds the closing flow; then leakage "
            "and bleed hole only",
        ),
        sources=(
            "shuts at its closing flow, 1.5 to 2 times the greatest in work: common practice",
            "shut plate: seat leakage and bleed hole; orifice law, from memory",
        ),
    ),
)
