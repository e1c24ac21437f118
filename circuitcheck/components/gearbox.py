"""Gearbox: drives its own shaft slower or faster than it is driven."""

from __future__ import annotations

from circuitcheck.components import _transmission
from circuitcheck.components._drives import SHAFT_SCALE
from circuitcheck.components._parts import Kind, Parameter, Part, fixed_ports
from circuitcheck.laws.net import Net


def equations(part: Part, net: Net) -> None:
    if not part.driven_by:
        return
    first, second = net.shaft(SHAFT_SCALE), net.own_shaft(SHAFT_SCALE)
    net.gear("coupling", first, second, net.value("ratio"), net.value("efficiency"))


KINDS = (
    Kind(
        word="gearbox",
        text="Gearbox between a drive and what it turns; several pumps on one gearbox are "
        "driven by it.",
        ports=fixed_ports(),
        parameters=(
            Parameter(
                "ratio",
                "ratio",
                "",
                "input turns an output turn; under 1 it turns faster",
                needed=True,
                least=0.05,
                most=1e3,
            ),
            Parameter(
                "efficiency",
                "share",
                "%",
                "power out over power in, in both directions",
                default=0.98,
                least=0.05,
                most=1.0,
                source="98 % a mesh; common practice, no source",
            ),
            _transmission.SHAFT_LIMIT,
        ),
        driven=True,
        drives=True,
        equations=equations,
        results=_transmission.results,
        state=_transmission.state,
        measures=_transmission.MEASURES,
        law_text=(
            "w2 = w1/ratio",
            "M2 = M1 ratio x efficiency where M1 drives, M1 = M2/ratio x efficiency where "
            "M2 drives",
        ),
        sources=("w2 = w1/i, M2 = M1 i eta; textbook form, from memory",),
    ),
)
