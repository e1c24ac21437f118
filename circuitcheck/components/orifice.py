"""Fixed orifice: sharp-edged, nearly independent of viscosity; with a length, a short tube."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _edges
from circuitcheck.components._common import THROUGH, circle, pressure_data
from circuitcheck.components._parts import Figures, Kind, Parameter, Part, Result, fixed_ports
from circuitcheck.laws.bores import DEVELOPED, DEVELOPING
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

LAMINAR = 2000.0
"""Reynolds number above which the flow in a long bore turns turbulent; from memory."""


def is_tube(part: Part) -> bool:
    return part.figure("length") is not None


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    bore, length = part.figures.get("diameter"), part.figures.get("length")
    if bore and length and length.value < bore.value:
        return [
            (
                "length",
                f"{part.name} is shorter ({length.text}) than it is wide ({bore.text})",
                "such a hole is sharp-edged: leave its length out",
            )
        ]
    if length and part.given("coefficient"):
        return [
            (
                "coefficient",
                f"{part.name} has a length, which gives its flow coefficient",
                "give the length or the coefficient, not both",
            )
        ]
    return []


def equations(part: Part, net: Net) -> None:
    bore = net.value("diameter")
    if is_tube(part):
        length = net.value("length")
        net.tube("hole", "in", "out", d=bore, length=length, rho=net.oil.rho, nu=net.oil.nu)
    else:
        _edges.hole(net, "hole", "in", "out", bore, net.value("coefficient"))


def reynolds(view: View) -> Array:
    bore = np.asarray(view.value("diameter"))
    number: Array = np.abs(view.q("in")) / circle(bore) * bore / view.oil.nu
    return number


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": view.q("in"),
        "drop": view.p("in") - view.p("out"),
        "velocity": np.abs(view.q("in")) / circle(view.value("diameter")),
        "reynolds": reynolds(view),
    }


def state(part: Part, view: View) -> list[str]:
    re = reynolds(view)
    if not is_tube(part):
        meet = (np.asarray(view.value("coefficient")) / _edges.ROUND_HOLE) ** 2
        few = re < meet
        return view.words(lambda i: "viscous" if few[i] else "turbulent")
    length = np.asarray(view.value("length")) / np.asarray(view.value("diameter"))
    u = re / length
    middle = 0.5 * (DEVELOPED + DEVELOPING)
    # a bore long enough for turbulence to settle in it is outside the formula
    outside = (re > LAMINAR) & (length > 0.05 * LAMINAR)

    def word(i: int) -> str:
        if outside[i]:
            return "turbulent, beyond its formula"
        return "laminar" if u[i] < middle else "developing"

    return view.words(word)


KINDS = (
    Kind(
        word="orifice",
        text="Sharp-edged hole: flow = coefficient x area x root of (2 drop/density), viscous at "
        "low Reynolds number. With a length it is a short tube or capillary, whose "
        "coefficient follows from Reynolds number and length.",
        ports=fixed_ports(*THROUGH),
        parameters=(
            Parameter(
                "diameter",
                "length",
                "mm",
                "diameter of the hole",
                bare=True,
                needed=True,
                least=1e-5,
                most=0.5,
            ),
            Parameter(
                "length",
                "length",
                "mm",
                "length of the bore, at least its diameter",
                least=1e-5,
                most=10.0,
            ),
            Parameter(
                "coefficient",
                "ratio",
                "",
                "flow coefficient",
                default=_edges.SHARP,
                least=0.1,
                most=1.0,
                source="0.60 to 0.65 practical, 0.611 sharp; Merritt 1967 as quoted by Rabie",
            ),
            *pressure_data(),
        ),
        through=("in", "out"),
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow"),
            Result("drop", "pressure", "drop"),
            Result("velocity", "speed", "mean speed in the hole"),
            Result("reynolds", "count", "Reynolds number of the hole"),
        ),
        law_text=(
            "sharp hole: q = C A root(2 dp/rho), C = 0.2 root(Re) at low Re up to its coefficient",
            "with a length: short tube, C from length/diameter and Re, both branches as "
            "given by Rabie",
        ),
        sources=(
            "sharp hole, C = 0.2 root(Re) at low Re: Merritt 1967, from memory",
            "short tube, both branches: Rabie, Fluid Power Engineering, pages 50 and 51, "
            "quoting Merritt 1967",
        ),
    ),
)
