"""What electric motor and engine share: a shaft at a speed, stiff or falling with torque."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._parts import Figures, Parameter, Part, Result
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

SHAFT_SCALE = 1e-6
"""Displacement that scales a drive's shaft until a pump brings its own [m3/rad]."""

PARAMETERS = (
    Parameter("power", "power", "kW", "rated power", bare=True, least=1.0),
    Parameter(
        "speed", "rotation", "rpm", "speed at rated power", bare=True, needed=True, least=0.1
    ),
    Parameter(
        "droop",
        "share",
        "%",
        "fall of speed from no load to rated power",
        default=0.0,
        least=0.0,
        most=0.5,
        source="speed held unless given; common practice, no source",
    ),
    Parameter("flange", "code", "", "mounting flange, SAE J744 code"),
    Parameter("shaft", "code", "", "shaft end, SAE J744 code"),
)

ORDERS = (Parameter("at", "rotation", "rpm", "speed in this step"),)

MEASURES = (
    Result("speed", "rotation", "shaft speed"),
    Result("torque", "torque", "torque given to the shaft"),
    Result("power", "power", "power given to the shaft"),
)


def equations(part: Part, net: Net) -> None:
    shaft = net.own_shaft(SHAFT_SCALE)
    speed = net.order("at", net.value("speed"))
    droop = np.asarray(net.value("droop"))
    power = net.value_of("power")
    if power is None or not np.any(droop > 0.0):
        net.pin(shaft, speed)
        return
    idle = speed * (1.0 + droop)
    net.slip("governor", shaft, idle, np.asarray(power) / speed / (idle - speed))


def results(part: Part, view: View) -> dict[str, Figures]:
    speed = view.speed_of(part.name)
    torque = view.reaction_of(part.name) + view.element("governor", "torque")
    return {"speed": speed, "torque": torque, "power": torque * speed}


def state(part: Part, view: View) -> list[str]:
    power = view.value_of("power")
    load = view.reaction_of(part.name) + view.element("governor", "torque")
    given = load * view.speed_of(part.name)
    limit = np.broadcast_to(np.inf if power is None else np.asarray(power), given.shape)

    def word(i: int) -> str:
        if given[i] < -1e-3:
            return "driven by the load"
        return "overloaded" if given[i] > limit[i] * 1.001 else "running"

    return view.words(word)
