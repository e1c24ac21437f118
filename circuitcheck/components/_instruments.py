"""Instruments with one port that only show what stands there."""

from __future__ import annotations

from circuitcheck.components._parts import Figures, Part, Port, PortKind, Result, fixed_ports
from circuitcheck.laws.view import View

PORTS = fixed_ports(Port("M", PortKind.MEASURE, "measuring port"))
MEASURES = (Result("pressure", "pressure", "pressure shown"),)


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"pressure": view.p("M")}
