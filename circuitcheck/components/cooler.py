"""Oil cooler: takes heat out, and a little pressure."""

from __future__ import annotations

from circuitcheck.components._common import (
    THROUGH,
    both_ways_resistor,
    pressure_rating,
    rated_flow,
)
from circuitcheck.components._parts import Figures, Kind, Parameter, Part, Result, fixed_ports
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

VISCOUS_SHARE = 0.5
"""Share of the rated drop that viscosity scales; own choice."""


def equations(part: Part, net: Net) -> None:
    both_ways_resistor(net, "core", "in", "out", VISCOUS_SHARE)


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"flow": view.q("in"), "drop": view.p("in") - view.p("out")}


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
            Parameter("bypass", "pressure", "bar", "drop at which its bypass opens"),
            pressure_rating(),
        ),
        through=("in", "out"),
        equations=equations,
        results=results,
        measures=(Result("flow", "flow", "flow"), Result("drop", "pressure", "drop")),
        sources=("heat in proportion to the difference; textbook form, from memory",),
    ),
)
