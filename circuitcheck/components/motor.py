"""Hydraulic motor: oil turns a shaft, in either direction."""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.components._common import pressure_rating
from circuitcheck.components._parts import (
    Choice,
    Figures,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
    Result,
)
from circuitcheck.components._rotary import (
    CONSTRUCTIONS,
    TEST_POINT,
    lost_torque,
    split_slip,
    usual,
)
from circuitcheck.laws._law import BAR
from circuitcheck.laws.machines import STILL_SHAFT
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

PUSHED = 5.0 * BAR
"""Pressure over a standing motor above which it is called stalled [Pa]; own choice."""

VISCOUS = 2e-4 * BAR
"""Drag that is always there [Pa per rad/s on the displacement]; own choice, so small that
it only settles how motors in parallel share oil."""


def construction(part: Part) -> str:
    return part.choices.get("construction", "axial piston")


def ports(part: Part) -> tuple[Port, ...]:
    found = [Port("A", PortKind.WORK, "side A"), Port("B", PortKind.WORK, "side B")]
    needed = CONSTRUCTIONS[construction(part)].to_case > 0.0
    found.append(Port("L", PortKind.DRAIN, "case drain", needed=needed))
    return tuple(found)


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    """Losses usual for the construction."""
    return usual(construction(part), "motor", part.figure("rated"))


def equations(part: Part, net: Net) -> None:
    full = np.asarray(net.value("displacement")) / (2.0 * math.pi)
    shaft = net.own_shaft(float(np.max(full)))
    speed, dp = np.asarray(net.value("speed")), np.asarray(net.value("test pressure"))
    thick = net.oil.nu / np.asarray(net.value("test oil"))
    lost = 1.0 - np.asarray(net.value("mechanical"))
    torque = lost_torque(full, lost, dp, speed, thick)
    torque["drag"] = torque["drag"] + VISCOUS * full
    # oil from A to B turns the shaft the positive way, so B is the outlet of the unit
    net.rotary("unit", "B", "A", shaft, None, full=full, **torque)
    whole = (1.0 / np.asarray(net.value("volumetric")) - 1.0) * full * speed / dp / thick
    across, to_case = split_slip(net, whole, CONSTRUCTIONS[construction(part)].to_case)
    net.gap("slip", "A", "B", across)
    net.gap("case slip A", "A", "L", to_case)
    net.gap("case slip B", "B", "L", to_case)
    resisting, steady = net.load_of("load")
    net.load("load", shaft, resisting=resisting, steady=steady)
    net.void("void A", "A")
    net.void("void B", "B")
    net.pin(shaft, 0.0, net.said("at standstill"))


def results(part: Part, view: View) -> dict[str, Figures]:
    speed = view.speed_of(part.name)
    torque = -view.element("unit", "torque")
    found = {
        "speed": np.where(np.abs(speed) <= 2.0 * STILL_SHAFT, 0.0, speed),
        "torque": torque,
        "power": torque * speed,
        "flow": np.abs(view.q("A")),
        "drop": view.p("A") - view.p("B"),
    }
    if "L" in view.pressures:
        found["case drain"] = -view.q("L")
        found["case pressure"] = view.p("L")
    return found


def state(part: Part, view: View) -> list[str]:
    speed = view.speed_of(part.name)
    held = view.pinned(part.name)
    empty = (view.element("void A") > 0.0) | (view.element("void B") > 0.0)
    pushed = np.abs(view.p("A") - view.p("B")) > PUSHED

    def word(i: int) -> str:
        if held[i]:
            return "at standstill"
        if empty[i]:
            return "cavitates"
        if abs(speed[i]) <= 2.0 * STILL_SHAFT:
            return "stalled" if pushed[i] else "standing"
        return "turning" if speed[i] > 0.0 else "turning back"

    return view.words(word)


KINDS = (
    Kind(
        word="motor",
        text="Hydraulic motor; oil into A and out of B turns it the positive way.",
        ports=ports,
        parameters=(
            Parameter(
                "displacement",
                "displacement",
                "cc/rev",
                "oil taken a turn",
                bare=True,
                needed=True,
                least=1e-9,
                most=1e-1,
            ),
            pressure_rating(),
            *TEST_POINT,
            Parameter(
                "speed",
                "rotation",
                "rpm",
                "speed where the efficiencies hold",
                default=157.08,
                least=0.1,
            ),
            Parameter("least speed", "rotation", "rpm", "lowest smooth speed"),
        ),
        choices=(Choice("construction", tuple(CONSTRUCTIONS)),),
        orders=(
            Parameter("load", "torque", "Nm", "torque against the motion; negative drives it"),
        ),
        poses=("overrunning", "at standstill"),
        drives=True,
        assumes=assumes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("speed", "rotation", "shaft speed"),
            Result("torque", "torque", "torque on the load"),
            Result("power", "power", "power given to the load"),
            Result("flow", "flow", "flow at port A"),
            Result("drop", "pressure", "pressure A over B"),
            Result("case drain", "flow", "flow out of the case"),
            Result("case pressure", "pressure", "pressure in the case"),
        ),
        sources=("slip laminar, torque loss of three terms: Wilson 1949, from memory",),
    ),
)
