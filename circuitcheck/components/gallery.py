"""Gallery: a passage drilled in a block, with its corners."""

from __future__ import annotations

import numpy as np

from circuitcheck.basics.tables import read_toml
from circuitcheck.components._common import THROUGH, circle, pressure_data
from circuitcheck.components._parts import Figures, Kind, Parameter, Part, Result, fixed_ports
from circuitcheck.components.line import G
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

SHORTEST = 0.05
"""Length over bore under which a drilling is no passage; own choice."""

ROUGH = 6.3e-6
"""Roughness of a drilled hole [m]; common practice, no source."""


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    row = read_toml("lines/fittings.toml")["plain"]["drilled_corner"]
    return {"corner loss": (float(row["value"]), str(row["source"]))}


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    """A passage is no mere window."""
    bore, length = part.figures.get("bore"), part.figures.get("length")
    if bore and length and length.value < SHORTEST * bore.value:
        message = f"{part.name} is {length.text} long at a bore of {bore.text}: no passage"
        return [("length", message, "are the two swapped? an opening without length is an orifice")]
    return []


def equations(part: Part, net: Net) -> None:
    bore = np.asarray(net.value("bore"))
    corners = np.asarray(net.value("corners")) * np.asarray(net.value("corner loss"))
    net.pipe(
        "bore",
        "in",
        "out",
        d=bore,
        length=net.value("length"),
        minor=corners + np.asarray(net.value("loss factor")),
        rough=np.asarray(net.value("roughness")) / bore,
        rho=net.oil.rho,
        nu=net.oil.nu,
        head=net.oil.rho * G * np.asarray(net.value("rise")),
    )


def results(part: Part, view: View) -> dict[str, Figures]:
    flow = view.element("bore")
    return {
        "flow": flow,
        "speed": np.abs(flow) / circle(view.value("bore")),
        "drop": view.p("in") - view.p("out"),
        "reynolds": view.element("bore", "reynolds"),
    }


KINDS = (
    Kind(
        word="gallery",
        other_words=("drilling",),
        text="Passage drilled in a block; each corner where two drillings meet takes pressure.",
        ports=fixed_ports(*THROUGH),
        parameters=(
            Parameter(
                "bore",
                "length",
                "mm",
                "diameter of the drilling",
                bare=True,
                needed=True,
                least=1e-4,
                most=0.1,
            ),
            Parameter("length", "length", "mm", "length", needed=True, least=1e-3, most=100.0),
            Parameter("corners", "count", "", "corners", default=0.0, least=0.0, most=100.0),
            Parameter("corner loss", "ratio", "", "loss factor of a corner", least=0.0, most=10.0),
            Parameter(
                "loss factor", "ratio", "", "further loss factors", default=0.0, least=0.0, most=1e3
            ),
            Parameter(
                "roughness",
                "length",
                "um",
                "roughness of the drilling",
                default=ROUGH,
                least=0.0,
                most=1e-3,
            ),
            Parameter("rise", "length", "m", "outlet above inlet", default=0.0),
            *pressure_data(),
        ),
        through=("in", "out"),
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        measures=(
            Result("flow", "flow", "flow in to out"),
            Result("speed", "speed", "mean oil speed"),
            Result("drop", "pressure", "drop"),
            Result("reynolds", "ratio", "Reynolds number"),
        ),
        law_text=(
            "dp = (f l/d + corners x loss + other) rho v^2/2 + rho g rise",
            "f after Churchill 1977 for all Reynolds numbers",
        ),
        sources=("Churchill 1977 for friction; loss of a corner: shared/lines/fittings.toml",),
    ),
)
