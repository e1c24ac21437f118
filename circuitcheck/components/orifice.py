"""Fixed orifice: sharp-edged, nearly independent of viscosity."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import THROUGH, circle, pressure_rating
from circuitcheck.components._parts import Figures, Kind, Parameter, Part, Result, fixed_ports
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View


def equations(part: Part, net: Net) -> None:
    area = circle(net.value("diameter"))
    net.orifice(
        "hole",
        "in",
        "out",
        np.asarray(net.value("coefficient")) * area * np.sqrt(2.0 / net.oil.rho),
    )


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"flow": view.q("in"), "drop": view.p("in") - view.p("out")}


KINDS = (
    Kind(
        word="orifice",
        text="Sharp-edged hole: flow = coefficient x area x root of (2 drop/density).",
        ports=fixed_ports(*THROUGH),
        parameters=(
            Parameter(
                "diameter",
                "length",
                "mm",
                "diameter of the hole",
                bare=True,
                needed=True,
                least=1e-5,
                most=0.5,
            ),
            Parameter(
                "coefficient",
                "ratio",
                "",
                "flow coefficient",
                default=0.62,
                least=0.1,
                most=1.0,
                source="0.60 to 0.65 practical, 0.611 sharp; Merritt 1967 as quoted by Rabie",
            ),
            pressure_rating(),
        ),
        through=("in", "out"),
        equations=equations,
        results=results,
        measures=(Result("flow", "flow", "flow"), Result("drop", "pressure", "drop")),
        sources=("Merritt 1967, from memory",),
    ),
)
