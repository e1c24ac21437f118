"""Line: hose, tube or pipe with a bore and a length."""

from __future__ import annotations

import numpy as np

from circuitcheck.basics.tables import read_toml
from circuitcheck.components import _fittings
from circuitcheck.components._common import RHO_RATED, circle, pressure_data
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
from circuitcheck.components._trade import (
    ENDS,
    ENDS_ABOVE,
    GUARD,
    HOSE_LIMITS,
    NEAR_HEAT,
    NEAR_PEOPLE,
)
from circuitcheck.laws._law import L_MIN
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

G = 9.80665
"""Standard acceleration of gravity [m/s2]; ISO 80000-3."""


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    """Roughness by the make of the line."""
    row = read_toml("lines/roughness.toml")[part.choices.get("make", "hose")]
    found = {"roughness": (row["value"], row["source"])}
    if "tensile" in part.figures:
        found["safety"] = (4.0, "4:1 is usual for tube and hose; common practice, no source")
    return found


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    if "tensile" in part.figures and "wall" not in part.figures:
        message = f"the strength of {part.name} says nothing without its wall"
        return [("tensile", message, "write the wall thickness too: wall 2 mm")]
    return _fittings.mistakes(part)


def burst(part: Part, view: View) -> Array | None:
    """Pressure at which the wall tears [Pa]; None where wall or strength are not given.

    Barlow: 2 S t / outer diameter, on the safe side; a wall that is said to be thin:
    2 S t / inner diameter, as the force balance has it. Textbook form.
    """
    wall, strength = view.value_of("wall"), view.value_of("tensile")
    if wall is None or strength is None:
        return None
    across = np.asarray(view.value("bore"))
    if not part.says("thin wall"):
        across = across + 2.0 * np.asarray(wall)
    return np.broadcast_to(2.0 * np.asarray(strength) * np.asarray(wall) / across, (view.variants,))


def equations(part: Part, net: Net) -> None:
    bore = np.asarray(net.value("bore"))
    bends = np.asarray(net.value("bends")) * np.asarray(net.value("bend loss"))
    minor = bends + np.asarray(net.value("loss factor"))
    drop = net.value_of("fittings")
    if drop is not None:
        speed = np.asarray(net.value("fittings flow")) / circle(bore)
        minor = minor + np.asarray(drop) / (0.5 * RHO_RATED * speed**2)
    steady, laminar = _fittings.losses(net, bore)
    minor = minor + steady
    behind = "start"
    if np.any(laminar > 0.0):
        behind = net.inner("behind fittings")
        net.resistor("fittings", "start", behind, laminar)
    net.pipe(
        "bore",
        behind,
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
    found = {
        "flow": flow,
        "speed": np.abs(flow) / circle(view.value("bore")),
        "drop": view.p("start") - view.p("end"),
        "reynolds": view.element("bore", "reynolds"),
        "pressure": np.maximum(view.p("start"), view.p("end")),
    }
    oil = circle(view.value("bore")) * np.asarray(view.value("length"))
    mean = np.maximum(0.5 * (view.p("start") + view.p("end")), 0.0)
    found["compression"] = oil * mean / view.oil.secant(mean)
    tears = burst(part, view)
    if tears is not None:
        found["wall pressure"] = tears / np.asarray(view.value("safety"))
        inside = np.where(found["pressure"] > 0.0, found["pressure"], np.nan)
        found["wall safety"] = tears / inside
    swells = view.value_of("expansion")
    if swells is not None:
        share = found["pressure"] / np.asarray(view.value("expansion pressure"))
        found["swelling"] = oil * np.asarray(swells) * np.maximum(share, 0.0)
    return found


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
            Parameter("bore", "length", "mm", "inner diameter", needed=True, least=1e-4, most=0.5),
            Parameter("length", "length", "m", "length", needed=True, least=1e-3, most=1e5),
            Parameter("wall", "length", "mm", "wall thickness", least=1e-5, most=0.2),
            Parameter("tensile", "pressure", "MPa", "strength of the wall", least=1e6, most=3e9),
            Parameter(
                "safety",
                "ratio",
                "",
                "strength over working stress",
                least=1.0,
                most=20.0,
            ),
            Parameter(
                "expansion",
                "share",
                "%",
                "growth of its volume",
                least=0.0,
                most=0.5,
                at=Parameter(
                    "expansion pressure",
                    "pressure",
                    "bar",
                    "pressure of that growth",
                    default=100e5,
                    least=1e5,
                ),
            ),
            Parameter("bends", "count", "", "number of bends", default=0.0, least=0.0, most=1000.0),
            Parameter(
                "bend loss", "ratio", "", "loss factor of a bend", default=0.3, least=0.0, most=10.0
            ),
            *_fittings.PARAMETERS,
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
            *pressure_data(),
            *ENDS,
            *HOSE_LIMITS,
        ),
        choices=(
            Choice("make", ("hose", "tube", "pipe"), default="hose"),
            Choice("service", ("suction rated",)),
            Choice("wall", ("thin wall",)),
            NEAR_PEOPLE,
            ENDS_ABOVE,
            GUARD,
            NEAR_HEAT,
        ),
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow start to end"),
            Result("speed", "speed", "mean oil speed"),
            Result("drop", "pressure", "start over end"),
            Result("reynolds", "ratio", "Reynolds number"),
            Result("pressure", "pressure", "higher of the two ends"),
            Result("wall pressure", "pressure", "working pressure of the wall with its safety"),
            Result("wall safety", "ratio", "pressure that tears the wall over that in the line"),
            Result("compression", "volume", "oil that pressing its oil together takes up"),
            Result("swelling", "volume", "oil that the hose takes up by growing"),
        ),
        law_text=(
            "dp = (f l/d + bends x loss + fittings) rho v^2/2 + laminar fittings + rho g rise",
            "f after Churchill 1977 for all Reynolds numbers",
            "compression = volume x p/K, p the mean of both ends, K of the oil with its air",
        ),
        sources=(
            "Churchill 1977 for friction at all Reynolds numbers",
            "fittings: two-constant method (Hooper 1981), shared/lines/fittings.toml",
            "wall: Barlow, textbook",
        ),
    ),
)
