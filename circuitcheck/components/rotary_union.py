"""Rotary union or swivel: passes oil between parts that turn against each other."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    THROUGH,
    both_ways_resistor,
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
from circuitcheck.laws.view import View


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    if part.given("leak") and "L" in part.plugged:
        message = f"the leakage of {part.name} has no way out: its port L is plugged"
        return [("leak", message, "join L to the tank, or leave the leakage out")]
    return []


def equations(part: Part, net: Net) -> None:
    both_ways_resistor(net, "passage", "in", "out", 0.3)
    leak = net.value_of("leak")
    if leak is not None:
        g = np.asarray(leak) / np.asarray(net.value("leak pressure"))
        net.gap("leak", "in", "L", g)


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": -view.q("out"),
        "drop": view.p("in") - view.p("out"),
        "leakage": view.element("leak"),
    }


KINDS = (
    Kind(
        word="rotary union",
        other_words=("swivel",),
        text="Rotary union or swivel, one passage; its seal may leak to L.",
        ports=fixed_ports(*THROUGH, Port("L", PortKind.DRAIN, "leakage", needed=False)),
        parameters=(
            rated_flow(60.0, 1.0),
            Parameter(
                "leak",
                "flow",
                "L/min",
                "leakage of its seal to L",
                least=0.0,
                at=Parameter(
                    "leak pressure",
                    "pressure",
                    "bar",
                    "pressure of that leakage",
                    default=100 * BAR,
                    least=1e3,
                ),
            ),
            Parameter("speed limit", "rotation", "rpm", "highest speed", least=1e-3),
            *pressure_data(),
        ),
        through=("in", "out"),
        mistakes=mistakes,
        equations=equations,
        results=results,
        measures=(
            Result("flow", "flow", "flow"),
            Result("drop", "pressure", "drop"),
            Result("leakage", "flow", "leakage to L"),
        ),
        law_text=(
            "dp = r1 q + r2 q^2 through rated flow at rated drop",
            "leak: q in proportion to p - p(L)",
        ),
        sources=("drop of about 1 bar at rated flow: common practice, no source",),
    ),
)
