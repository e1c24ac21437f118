"""Pressure gauge."""

from __future__ import annotations

from circuitcheck.components import _instruments
from circuitcheck.components._parts import Kind, Parameter

KINDS = (
    Kind(
        word="gauge",
        other_words=("pressure gauge",),
        text="Shows the pressure where it stands.",
        ports=_instruments.PORTS,
        parameters=(
            Parameter("range", "pressure", "bar", "end of its scale: 0 to 400 bar", least=-1e5),
            Parameter(
                "class",
                "share",
                "%",
                "error as a share of the range",
                default=0.016,
                least=0.0,
                most=0.2,
            ),
        ),
        results=_instruments.results,
        measures=_instruments.MEASURES,
        law_text=("q = 0; it shows the pressure of its junction",),
        sources=("no flow",),
    ),
)
