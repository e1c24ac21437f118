"""Thermometer."""

from __future__ import annotations

from circuitcheck.components import _instruments
from circuitcheck.components._parts import Figures, Kind, Parameter, Part, Result
from circuitcheck.laws.view import View


def results(part: Part, view: View) -> dict[str, Figures]:
    return {**_instruments.results(part, view), "temperature": view.oil.degC}


KINDS = (
    Kind(
        word="thermometer",
        text="Shows the oil temperature.",
        ports=_instruments.PORTS,
        parameters=(
            Parameter("range", "temperature", "degC", "end of its scale", least=-40.0, most=400.0),
        ),
        results=results,
        measures=(
            *_instruments.MEASURES,
            Result("temperature", "temperature", "oil temperature of the step"),
        ),
        law_text=("q = 0; it shows the temperature of the oil",),
        sources=("no flow",),
    ),
)
