"""Throttle or needle valve, plain or with a free-flow check."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    THROUGH,
    capacity,
    circle,
    free_flow_check,
    pressure_rating,
    rated,
    rated_flow,
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


def equations(part: Part, net: Net) -> None:
    bore = net.value_of("diameter")
    k = rated(net) if bore is None else 0.62 * circle(bore) * np.sqrt(2.0 / net.oil.rho)
    own = net.value_of("open")
    net.orifice("throttle", "in", "out", k * net.order("open", 1.0 if own is None else own))
    if part.says("free-flow check"):
        free_flow_check(net, "check", "out", "in", capacity(net, 60 * L_MIN, 2 * BAR))


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"flow": view.q("in"), "drop": view.p("in") - view.p("out")}


def state(part: Part, view: View) -> list[str]:
    free = view.element("check", "opening")
    return view.words(lambda i: "check open" if free[i] > 0.0 else "metering")


KINDS = (
    Kind(
        word="throttle",
        other_words=("needle valve", "throttle-check"),
        text="Throttle from in to out; with a free-flow check oil passes freely from out to in.",
        ports=fixed_ports(*THROUGH),
        parameters=(
            rated_flow(10.0, 10.0, "flow at this setting"),
            Parameter("diameter", "length", "mm", "equal hole, in place of the flow", least=1e-5),
            Parameter("open", "share", "%", "share of that opening", least=0.0, most=1.0),
            pressure_rating(),
        ),
        choices=(
            Choice("adjusting", ("adjustable", "fixed")),
            Choice("reverse", ("free-flow check",)),
        ),
        orders=(Parameter("open", "share", "%", "opening in this step", least=0.0, most=1.0),),
        through=("in", "out"),
        equations=equations,
        results=results,
        state=state,
        measures=(Result("flow", "flow", "flow in to out"), Result("drop", "pressure", "drop")),
        sources=("orifice law; textbook form, from memory",),
    ),
)
