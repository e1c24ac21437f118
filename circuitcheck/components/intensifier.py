"""Pressure intensifier: a large piston on low pressure drives a small one on high pressure."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    circle,
    free_flow_check,
    one_way_capacity,
    pressure_data,
)
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
from circuitcheck.components.cylinder import VISCOUS
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.machines import STILL_ROD
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

LEAST_DRIVE = 1.0
"""Pressure on the large piston under which there is no boost to speak of [Pa]; own choice."""

NOMINAL = 1e-3
"""Area that stands for the large piston where only the ratio is given [m2]; own choice,
without effect on pressures and flows."""

FREE_DROP = 2.0 * BAR
"""Drop of the filling check at its flow [Pa]; common practice, no source."""


def areas(view: Net | View) -> tuple[Array, Array]:
    """Areas of the large and the small piston [m2]."""
    bore = view.value_of("bore")
    large = np.asarray(NOMINAL if bore is None else circle(bore))
    plunger = view.value_of("plunger")
    if plunger is not None:
        return large, circle(plunger)
    return large, large / np.asarray(view.value("ratio"))


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    bore, plunger = part.figures.get("bore"), part.figures.get("plunger")
    if plunger is None and "ratio" not in part.figures:
        message = f"{part.name} needs its ratio, or bore and plunger"
        return [("ratio", message, "write, for example, ratio 4:1")]
    if plunger is not None and "ratio" in part.figures:
        message = f"{part.name} has a ratio and a plunger"
        return [("ratio", message, "the ratio follows from bore and plunger; take it away")]
    if plunger is not None and bore is None:
        return [("bore", f"{part.name} needs 'bore'", "diameter of the large piston")]
    if plunger and bore and plunger.value >= bore.value:
        message = f"the plunger ({plunger.text}) is not smaller than the bore ({bore.text})"
        return [("plunger", message, "are the two swapped?")]
    if part.says("single stroke") and (bore is None or "stroke" not in part.figures):
        message = f"{part.name} (single stroke) needs 'bore' and 'stroke'"
        return [("stroke", message, "they limit the oil that it gives")]
    return []


def equations(part: Part, net: Net) -> None:
    large, small = areas(net)
    speed = net.rod(float(np.max(large)))
    eta = np.asarray(net.value("efficiency"))
    net.piston(
        "pistons",
        "P",
        "H",
        speed,
        cap_area=large,
        rod_area=small,
        share=(1.0 - eta) / (1.0 + eta),
        viscous=VISCOUS * large,
    )
    net.piston("back", "T", None, speed, cap_area=small - large)
    net.pin(speed, 0.0, net.said("at end stop"))
    if part.says("filling check"):
        free = one_way_capacity(net, net.value("flow"), FREE_DROP)
        free_flow_check(net, "filling", "P", "H", free)


def results(part: Part, view: View) -> dict[str, Figures]:
    _, small = areas(view)
    speed = view.speed_of(part.name)
    still = np.abs(speed) <= 2.0 * STILL_ROD
    stroke = view.value_of("stroke")
    with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
        boost = np.where(view.p("P") > LEAST_DRIVE, view.p("H") / view.p("P"), np.nan)
        time = np.asarray(np.nan if stroke is None else stroke) / np.abs(speed)
    found = {
        "flow": -view.q("H"),
        "flow taken": view.q("P"),
        "pressure": view.p("H"),
        "boost": boost,
    }
    if stroke is not None:
        found["oil a stroke"] = np.broadcast_to(small * np.asarray(stroke), speed.shape)
        found["time"] = np.where(still, np.nan, time)
    return found


def state(part: Part, view: View) -> list[str]:
    speed, filling = view.speed_of(part.name), view.element("filling", "opening")
    stopped = view.pinned(part.name)

    def word(i: int) -> str:
        if stopped[i]:
            return "at end stop"
        if filling[i] > 0.0:
            return "filling"
        if abs(speed[i]) <= 2.0 * STILL_ROD:
            return "holding"
        return "boosting" if speed[i] > 0.0 else "running back"

    return view.words(word)


KINDS = (
    Kind(
        word="intensifier",
        other_words=("booster",),
        text="Pressure intensifier: H = P x area ratio, flow divided by it; oil of the ring side "
        "goes to T. A reciprocating one is computed with its mean flow.",
        ports=fixed_ports(
            Port("P", PortKind.PRESSURE, "low pressure in"),
            Port("H", PortKind.WORK, "high pressure out"),
            Port("T", PortKind.RETURN, "ring side"),
        ),
        parameters=(
            Parameter("ratio", "ratio", "", "area ratio", least=1.01, most=1000.0),
            Parameter("bore", "length", "mm", "diameter of the large piston", least=1e-3, most=2.0),
            Parameter("plunger", "length", "mm", "diameter of the small one", least=1e-4, most=2.0),
            Parameter("stroke", "length", "mm", "stroke", least=1e-4, most=20.0),
            Parameter(
                "efficiency",
                "share",
                "%",
                "pressure left after friction",
                default=0.95,
                least=0.3,
                most=1.0,
            ),
            Parameter(
                "flow",
                "flow",
                "L/min",
                "flow of the filling check at 2 bar",
                default=40 * L_MIN,
                least=1e-8,
            ),
            *pressure_data(),
        ),
        choices=(
            Choice("motion", ("reciprocating", "single stroke"), default="reciprocating"),
            Choice("filling", ("filling check",)),
        ),
        poses=("at end stop",),
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow out at H"),
            Result("flow taken", "flow", "flow into P"),
            Result("pressure", "pressure", "pressure at H"),
            Result("boost", "ratio", "pressure at H over that at P"),
            Result("oil a stroke", "volume", "oil that a stroke gives"),
            Result("time", "time", "time of a stroke"),
        ),
        law_text=(
            "q(P) = A1 v, q(H) = -A2 v",
            "p(H) A2 + p(T) (A1 - A2) = efficiency x p(P) A1 at rest",
            "filling check P to H where said",
        ),
        sources=("p2 = p1 A1/A2 eta, q2 = q1 A2/A1: textbook form",),
    ),
)
