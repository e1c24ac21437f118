"""Tank: where oil comes from and returns to; a junction of known pressure."""

from __future__ import annotations

from circuitcheck.components._parts import (
    Choice,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
    fixed_ports,
)
from circuitcheck.laws.net import Net


def equations(part: Part, net: Net) -> None:
    if net.joined(""):
        net.pin(net.ports[""], net.value("gas"))


KINDS = (
    Kind(
        word="tank",
        other_words=("reservoir",),
        text="Reservoir; any number of lines may start and end in it.",
        ports=fixed_ports(Port("", PortKind.RETURN, "any line", needed=False)),
        parameters=(
            Parameter("volume", "volume", "L", "oil in the tank", bare=True, least=1e-5),
            Parameter("least", "volume", "L", "least oil that still covers the suction"),
            Parameter("most", "volume", "L", "oil that fills the tank to the top"),
            Parameter("walls", "area", "m2", "wetted wall area that sheds heat"),
            Parameter(
                "ambient",
                "temperature",
                "degC",
                "air round the tank",
                default=25.0,
                source="common practice, no source",
            ),
            Parameter("gas", "pressure", "bar", "gas pressure above the oil", default=0.0),
        ),
        choices=(Choice("fittings", ("breather", "level gauge", "pressurised"), many=True),),
        equations=equations,
        sources=("a junction of known pressure",),
    ),
)
