"""Oil cooler: takes heat out, and a little pressure."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    THROUGH,
    both_ways_resistor,
    one_way_capacity,
    pressure_rating,
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
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

VISCOUS_SHARE = 0.5
"""Share of the rated drop that viscosity scales; own choice."""

BYPASS_BAND = 0.5 * BAR
"""From opening to full opening of the bypass [Pa]; own choice."""


def equations(part: Part, net: Net) -> None:
    both_ways_resistor(net, "core", "in", "out", VISCOUS_SHARE)
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
    found = {
        "flow": view.q("in"),
        "drop": view.p("in") - view.p("out"),
        "bypass flow": view.element("bypass"),
    }
    heat = view.value_of("heat")
    if heat is not None:
        over = np.maximum(view.oil.degC - np.asarray(view.value("coolant")), 0.0)
        works = np.where(view.said("off"), 0.0, 1.0)
        found["heat taken"] = np.asarray(heat) / np.asarray(view.value("difference")) * over * works
    return found


def state(part: Part, view: View) -> list[str]:
    off, past = view.said("off"), view.element("bypass", "opening")
    return view.words(lambda i: "off" if off[i] else "bypassing" if past[i] > 0.0 else "cooling")


KINDS = (
    Kind(
        word="cooler",
        text="Cooler; its heat at a difference of oil over ambient (or coolant).",
        ports=fixed_ports(*THROUGH),
        parameters=(
            Parameter(
                "heat",
                "power",
                "kW",
                "heat taken out",
                bare=True,
                least=1.0,
                at=Parameter(
                    "difference",
                    "temperature_difference",
                    "degC over ambient",
                    "oil over ambient",
                    default=30.0,
                    least=0.1,
                ),
            ),
            rated_flow(60.0, 0.5),
            Parameter(
                "coolant",
                "temperature",
                "degC",
                "air or water that cools it",
                default=25.0,
                least=-60.0,
                most=80.0,
            ),
            Parameter("bypass", "pressure", "bar", "drop at which its bypass opens", least=1e3),
            pressure_rating(),
        ),
        choices=(Choice("coolant", ("air cooled", "water cooled")),),
        poses=("off",),
        through=("in", "out"),
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow"),
            Result("drop", "pressure", "drop"),
            Result("bypass flow", "flow", "flow past the core"),
            Result("heat taken", "power", "heat taken out at the oil temperature of the step"),
        ),
        law_text=(
            "dp = r1 q + r2 q^2 through rated flow at rated drop; r1 with viscosity, r2 "
            "with density",
            "bypass opens at its cracking pressure",
            "heat = rated heat x (oil - ambient)/rated difference",
        ),
        sources=("heat in proportion to the difference; textbook form, from memory",),
    ),
)
