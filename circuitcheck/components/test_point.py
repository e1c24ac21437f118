"""Test point: a place to put a gauge."""

from __future__ import annotations

from circuitcheck.components import _instruments
from circuitcheck.components._parts import Kind

KINDS = (
    Kind(
        word="test point",
        text="Self-closing coupling for a gauge.",
        ports=_instruments.PORTS,
        results=_instruments.results,
        measures=_instruments.MEASURES,
        law_text=("q = 0; it shows the pressure of its junction",),
        sources=("no flow",),
    ),
)
