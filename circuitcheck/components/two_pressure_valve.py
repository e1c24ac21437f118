"""Two-pressure valve (inverse shuttle): passes the lower of two pressures on."""

from __future__ import annotations

from circuitcheck.components import _balls
from circuitcheck.components._common import pressure_data, rated_flow
from circuitcheck.components._parts import Kind, Part, fixed_ports
from circuitcheck.laws.net import Net


def equations(part: Part, net: Net) -> None:
    _balls.seats(net, higher=False)


KINDS = (
    Kind(
        word="two-pressure valve",
        other_words=("inverse shuttle",),
        text="The lower of 1 and 2 goes to out; there is pressure at out only where both have it.",
        ports=fixed_ports(*_balls.ports("lower pressure")),
        parameters=(rated_flow(5.0, 2.0), _balls.BAND, *pressure_data()),
        equations=equations,
        results=_balls.results,
        state=_balls.state,
        measures=_balls.MEASURES,
        law_text=(
            "two seats, q = k y root(dp); the higher pressure shuts its own",
            "so the lower pressure passes",
        ),
        sources=("two seats, the higher side shuts its own; textbook form, from memory",),
    ),
)
