"""Line: hose, tube or pipe with a bore and a length."""

from __future__ import annotations

import numpy as np

from circuitcheck.basics.tables import read_toml
from circuitcheck.components._common import RHO_RATED, circle, pressure_rating
from circuitcheck.components._parts import (
    Choice,
    Figures,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
    Result,
    fixed_ports,
)
from circuitcheck.laws._law import L_MIN
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

G = 9.80665
"""Standard acceleration of gravity [m/s2]; ISO 80000-3."""


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    """Roughness by the make of the line."""
    row = read_toml("lines/roughness.toml")[part.choices.get("make", "hose")]
    return {"roughness": (row["value"], row["source"])}


def equations(part: Part, net: Net) -> None:
    bore = np.asarray(net.value("bore"))
    bends = np.asarray(net.value("bends")) * np.asarray(net.value("bend loss"))
    minor = bends + np.asarray(net.value("loss factor"))
    drop = net.value_of("fittings")
    if drop is not None:
        speed = np.asarray(net.value("fittings flow")) / circle(bore)
        minor = minor + np.asarray(drop) / (0.5 * RHO_RATED * speed**2)
    net.pipe(
        "bore",
        "start",
        "end",
        d=bore,
        length=net.value("length"),
        minor=minor,
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
        "drop": view.p("start") - view.p("end"),
        "reynolds": view.element("bore", "reynolds"),
        "pressure": np.maximum(view.p("start"), view.p("end")),
    }


def state(part: Part, view: View) -> list[str]:
    re = view.element("bore", "reynolds")
    return view.words(
        lambda i: (
            "laminar" if re[i] < 2000.0 else "regime uncertain" if re[i] < 4000.0 else "turbulent"
        )
    )


KINDS = (
    Kind(
        word="line",
        text="Hose, tube or pipe between two points; made by a size in the line schedule.",
        ports=fixed_ports(
            Port("start", PortKind.THROUGH, "near end"), Port("end", PortKind.THROUGH, "far end")
        ),
        parameters=(
            Parameter("bore", "length", "mm", "inner diameter", needed=True, least=1e-4, most=1.0),
            Parameter("length", "length", "m", "length", needed=True, least=1e-3, most=1e5),
            Parameter("wall", "length", "mm", "wall thickness"),
            Parameter("bends", "count", "", "number of bends", default=0.0, least=0.0),
            Parameter("bend loss", "ratio", "", "loss factor of a bend", default=0.3, least=0.0),
            Parameter(
                "loss factor", "ratio", "", "sum of further loss factors", default=0.0, least=0.0
            ),
            Parameter("rise", "length", "m", "far end above near end", default=0.0),
            Parameter(
                "fittings",
                "pressure",
                "bar",
                "drop of the fittings",
                least=0.0,
                at=Parameter(
                    "fittings flow",
                    "flow",
                    "L/min",
                    "flow of that drop",
                    default=40 * L_MIN,
                    least=1e-8,
                ),
            ),
            Parameter("roughness", "length", "mm", "roughness of the wall", least=0.0),
            pressure_rating(),
        ),
        choices=(
            Choice("make", ("hose", "tube", "pipe"), default="hose"),
            Choice("service", ("suction rated",)),
        ),
        assumes=assumes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow start to end"),
            Result("speed", "speed", "mean oil speed"),
            Result("drop", "pressure", "start over end"),
            Result("reynolds", "ratio", "Reynolds number"),
            Result("pressure", "pressure", "higher of the two ends"),
        ),
        sources=("Churchill 1977 for friction at all Reynolds numbers",),
    ),
)
