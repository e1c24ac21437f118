"""Accumulator: stores oil; in a steady step it takes the pressure of its line."""

from __future__ import annotations

from circuitcheck.components._common import pressure_rating
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
from circuitcheck.laws.view import View


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"pressure": view.p("P")}


KINDS = (
    Kind(
        word="accumulator",
        text="Gas-loaded accumulator; no flow in a steady step.",
        ports=fixed_ports(Port("P", PortKind.WORK, "oil")),
        parameters=(
            Parameter(
                "volume",
                "volume",
                "L",
                "gas volume when empty of oil",
                bare=True,
                needed=True,
                least=1e-6,
            ),
            Parameter("precharge", "pressure", "bar", "gas pressure, no oil, 20 degC", least=0.0),
            Parameter(
                "gas exponent", "ratio", "", "1 slow, 1.4 fast", default=1.4, least=1.0, most=2.5
            ),
            pressure_rating(),
        ),
        choices=(
            Choice("separator", ("bladder", "piston", "diaphragm")),
            Choice("safety", ("bleed valve", "hand bleed"), many=True),
        ),
        results=results,
        measures=(Result("pressure", "pressure", "oil pressure"),),
        sources=("steady step: no flow; textbook form, from memory",),
    ),
)
