"""What unloading, sequence and reducing valves share."""

from __future__ import annotations

from circuitcheck.components._parts import Figures, Part, Result
from circuitcheck.laws.view import View

MEASURES = (
    Result("flow", "flow", "flow through the main opening"),
    Result("drop", "pressure", "drop over the main opening"),
)


def results(inlet: str, outlet: str, part: Part, view: View) -> dict[str, Figures]:
    return {"flow": view.element("seat"), "drop": view.p(inlet) - view.p(outlet)}


def state(part: Part, view: View) -> list[str]:
    opening = view.element("seat", "opening")
    return view.words(
        lambda i: "closed" if opening[i] <= 0.0 else "open" if opening[i] > 0.98 else "regulating"
    )
