"""Rotary actuator: turns a shaft through a limited angle; vane, or rack and pinion."""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.components._common import circle, pressure_data
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
from circuitcheck.components._trade import CRITICAL
from circuitcheck.components.motor import PUSHED, VISCOUS
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.machines import STILL_SHAFT
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

VANE, RACK = "vane", "rack and pinion"

VANE_LEAK = 0.2 * L_MIN
"""Leakage past the vane at 100 bar [m3/s]; common practice, no source."""


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    """Losses usual for the build."""
    if part.choices.get("build", VANE) == RACK:
        return {"efficiency": (0.90, "usual for rack and pinion; common practice, no source")}
    return {
        "efficiency": (0.85, "usual for a vane actuator; common practice, no source"),
        "leak": (VANE_LEAK, "0.1 to 0.5 L/min at 100 bar; common practice, no source"),
        "leak pressure": (100 * BAR, "pressure of that leakage"),
    }


def displacement(figures: Net | View) -> Array:
    """Oil a radian [m3/rad]: as given, or piston area times pinion radius."""
    given = figures.value_of("displacement")
    if given is not None:
        return np.asarray(given, dtype=float) / (2.0 * math.pi)
    area = circle(figures.value("bore")) * np.asarray(figures.value("racks"))
    rack: Array = area * 0.5 * np.asarray(figures.value("pinion"))
    return rack


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    if "displacement" in part.figures:
        if part.given("bore") or part.given("pinion"):
            message = f"{part.name} is given by its displacement and by bore and pinion"
            return [("displacement", message, "take one of the two away")]
        return []
    if part.choices.get("build", VANE) == VANE:
        message = f"{part.name} needs its displacement"
        return [("displacement", message, "write, for example, 800 cc/rev: oil for a whole turn")]
    return [
        (name, f"{part.name} (rack and pinion) needs '{name}'", f"write, for example, {name} 63 mm")
        for name in ("bore", "pinion")
        if name not in part.figures
    ]


def equations(part: Part, net: Net) -> None:
    full = displacement(net)
    shaft = net.own_shaft(float(np.max(full)))
    lost = 1.0 - np.asarray(net.value("efficiency"))
    # oil from A to B turns it the positive way, so B is the outlet of the unit
    net.rotary("unit", "B", "A", shaft, None, full=full, rub=lost * full, drag=VISCOUS * full)
    leak = net.value_of("leak")
    if leak is not None:
        net.gap("leak", "A", "B", np.asarray(leak) / np.asarray(net.value("leak pressure")))
    resisting, driving = net.load_of("load")
    net.load("load", shaft, resisting=resisting, steady=driving)
    own = net.value_of("moment")
    net.load("moment", shaft, steady=net.order_of("moment", 0.0 if own is None else own))
    net.void("void A", "A")
    net.void("void B", "B")
    net.pin(shaft, 0.0, net.said("at end stop"))


def results(part: Part, view: View) -> dict[str, Figures]:
    speed = view.speed_of(part.name)
    still = np.abs(speed) <= 2.0 * STILL_SHAFT
    torque = -view.element("unit", "torque")
    with np.errstate(divide="ignore", invalid="ignore"):
        time = np.where(still, np.nan, view.order_of("travels", np.nan) / np.abs(speed))
    return {
        "speed": np.where(still, 0.0, speed),
        "torque": torque,
        "power": torque * speed,
        "time": time,
        "flow": np.abs(view.q("A")),
        "drop": view.p("A") - view.p("B"),
        "oil a stroke": displacement(view) * np.asarray(view.value("swing")),
    }


def state(part: Part, view: View) -> list[str]:
    speed = view.speed_of(part.name)
    stopped = view.pinned(part.name)
    empty = (view.element("void A") > 0.0) | (view.element("void B") > 0.0)
    pushed = np.abs(view.p("A") - view.p("B")) > PUSHED

    def word(i: int) -> str:
        if stopped[i]:
            return "at end stop"
        if abs(speed[i]) <= 2.0 * STILL_SHAFT:
            return "stalled" if pushed[i] else "standing"
        if empty[i]:
            return "cavitates"
        return "turning" if speed[i] > 0.0 else "turning back"

    return view.words(word)


KINDS = (
    Kind(
        word="rotary actuator",
        text="Rotary actuator; oil into A turns it the positive way, through its swing. A vane "
        "leaks inside and does not hold a load.",
        ports=fixed_ports(
            Port("A", PortKind.WORK, "turns it the positive way"),
            Port("B", PortKind.WORK, "turns it back"),
        ),
        parameters=(
            Parameter(
                "displacement",
                "displacement",
                "cc/rev",
                "oil for a whole turn",
                bare=True,
                least=1e-7,
                most=10.0,
            ),
            Parameter(
                "bore", "length", "mm", "diameter of the rack's piston", least=1e-3, most=1.0
            ),
            Parameter(
                "pinion", "length", "mm", "pitch diameter of the pinion", least=1e-3, most=5.0
            ),
            Parameter(
                "racks", "count", "", "racks that push together", default=1.0, least=1.0, most=4.0
            ),
            Parameter(
                "swing",
                "angle",
                "deg",
                "angle from end to end",
                default=math.pi / 2,
                least=0.01,
                most=20 * math.pi,
            ),
            Parameter(
                "efficiency", "share", "%", "torque left after friction", least=0.3, most=1.0
            ),
            Parameter(
                "leak",
                "flow",
                "L/min",
                "leakage from side to side",
                least=0.0,
                at=Parameter(
                    "leak pressure",
                    "pressure",
                    "bar",
                    "pressure of that leakage",
                    default=100 * BAR,
                    least=1e3,
                ),
            ),
            Parameter("moment", "torque", "Nm", "torque that always turns it back, in every step"),
            *pressure_data(),
        ),
        choices=(Choice("build", (VANE, RACK), default=VANE), CRITICAL),
        orders=(
            Parameter("load", "torque", "Nm", "torque against the motion; negative drives it"),
            Parameter("moment", "torque", "Nm", "torque that turns it back, in this step"),
            Parameter("travels", "angle", "deg", "angle turned in this step", least=0.0),
        ),
        poses=("at end stop", "overrunning"),
        drives=True,
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("speed", "rotation", "shaft speed"),
            Result("torque", "torque", "torque on the load"),
            Result("power", "power", "power given to the load"),
            Result("time", "time", "time for the angle of the step"),
            Result("flow", "flow", "flow at port A"),
            Result("drop", "pressure", "pressure A over B"),
            Result("oil a stroke", "volume", "oil for the whole swing"),
        ),
        law_text=(
            "q = D w",
            "M = efficiency x D dp, friction against the motion",
            "at an end stop: w = 0",
        ),
        sources=("flow = D w, torque = D dp; D of a rack = piston area x pinion radius: geometry",),
    ),
)
