"""Filter or strainer, with or without bypass."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    THROUGH,
    both_ways_resistor,
    one_way_capacity,
    pressure_rating,
    rated_flow,
)
from circuitcheck.components._parts import Figures, Kind, Parameter, Part, Result, fixed_ports
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

VISCOUS_SHARE = 0.7
"""Share of the rated drop that the element makes and viscosity scales; own choice."""

BYPASS_BAND = 0.5 * BAR


def equations(part: Part, net: Net) -> None:
    both_ways_resistor(net, "element", "in", "out", VISCOUS_SHARE)
    bypass = net.value_of("bypass")
    if bypass is not None:
        net.modulated(
            "bypass",
            "in",
            "out",
            k=one_way_capacity(net, net.value("flow"), np.asarray(bypass) + BYPASS_BAND),
            opened_by={"in": 1.0, "out": -1.0},
            offset=-np.asarray(bypass),
            band=BYPASS_BAND,
        )


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": view.q("in"),
        "drop": view.p("in") - view.p("out"),
        "bypass flow": view.element("bypass"),
    }


def state(part: Part, view: View) -> list[str]:
    past = view.element("bypass", "opening")
    return view.words(lambda i: "bypassing" if past[i] > 0.0 else "filtering")


def _kind(word: str, text: str, flow: float, drop: float) -> Kind:
    return Kind(
        word=word,
        text=text,
        ports=fixed_ports(*THROUGH),
        parameters=(
            Parameter(
                "fineness",
                "length",
                "um",
                "fineness of the element",
                bare=True,
                least=1e-7,
                most=2e-3,
            ),
            rated_flow(flow, drop, "flow at which the clean drop holds, 32 mm2/s"),
            Parameter("bypass", "pressure", "bar", "drop at which the bypass opens", least=1e3),
            Parameter(
                "indicator", "pressure", "bar", "drop at which the indicator shows", least=1e3
            ),
            pressure_rating(),
        ),
        through=("in", "out"),
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow"),
            Result("drop", "pressure", "drop"),
            Result("bypass flow", "flow", "flow past the element"),
        ),
        sources=("element drop grows with viscosity, housing drop with density: from memory",),
    )


KINDS = (
    _kind("filter", "Filter; the rated drop is that of a clean element.", 60.0, 0.5),
    _kind("strainer", "Coarse element in a suction line.", 60.0, 0.03),
)
