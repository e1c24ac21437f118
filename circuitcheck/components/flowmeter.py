"""Flow meter in a line."""

from __future__ import annotations

from circuitcheck.components._common import THROUGH, both_ways_resistor, rated_flow
from circuitcheck.components._parts import Figures, Kind, Parameter, Part, Result, fixed_ports
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View


def equations(part: Part, net: Net) -> None:
    both_ways_resistor(net, "meter", "in", "out", 0.3)


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"flow": view.q("in"), "drop": view.p("in") - view.p("out")}


KINDS = (
    Kind(
        word="flowmeter",
        other_words=("flow meter",),
        text="Shows the flow from in to out.",
        ports=fixed_ports(*THROUGH),
        parameters=(
            Parameter("range", "flow", "L/min", "end of its scale: 0 to 60 L/min", least=0.0),
            rated_flow(60.0, 0.2, "flow at which its drop holds"),
            Parameter(
                "class",
                "share",
                "%",
                "error as a share of the reading",
                default=0.03,
                least=0.0,
                most=0.2,
            ),
        ),
        through=("in", "out"),
        equations=equations,
        results=results,
        measures=(Result("flow", "flow", "flow"), Result("drop", "pressure", "drop")),
        law_text=("dp = r1 q + r2 q^2 through rated flow at rated drop",),
        sources=("small resistor",),
    ),
)
