"""Shuttle valve: passes the higher of two pressures on."""

from __future__ import annotations

from circuitcheck.components import _balls
from circuitcheck.components._common import pressure_data, rated_flow
from circuitcheck.components._parts import Kind, Part, fixed_ports
from circuitcheck.laws.net import Net


def equations(part: Part, net: Net) -> None:
    _balls.seats(net, higher=True)


KINDS = (
    Kind(
        word="shuttle",
        other_words=("shuttle valve",),
        text="The higher of 1 and 2 goes to out.",
        ports=fixed_ports(*_balls.ports("higher pressure")),
        parameters=(rated_flow(5.0, 2.0), _balls.BAND, *pressure_data()),
        equations=equations,
        results=_balls.results,
        state=_balls.state,
        measures=_balls.MEASURES,
        law_text=(
            "two seats, q = k y root(dp); y of a seat from 0 to 1 over a band of its "
            "pressure over the other's",
            "so the higher pressure passes",
        ),
        sources=("two seats, one ball between them; textbook form, from memory",),
    ),
)
