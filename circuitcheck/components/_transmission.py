"""What gearbox, belt and clutch share: two shafts, torque in and out, the power lost."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._parts import Figures, Parameter, Part, Result
from circuitcheck.laws.view import View

MEASURES = (
    Result("speed", "rotation", "speed of the driven shaft"),
    Result("input speed", "rotation", "speed of the driving shaft"),
    Result("torque", "torque", "torque given to the driven shaft"),
    Result("input torque", "torque", "torque taken from the driving shaft"),
    Result("power", "power", "power given to the driven shaft"),
)

SHAFT_LIMIT = Parameter(
    "torque limit", "torque", "Nm", "highest torque of the driven shaft", least=0.1
)


def results(part: Part, view: View) -> dict[str, Figures]:
    speed = view.speed_of(part.name)
    torque = view.element("coupling", "torque out")
    return {
        "speed": speed,
        "input speed": view.speed_of(part.driven_by or ""),
        "torque": torque,
        "input torque": view.element("coupling", "torque in"),
        "power": torque * speed,
    }


def state(part: Part, view: View) -> list[str]:
    torque = view.element("coupling", "torque out")
    limit = view.value_of("torque limit")
    most = np.broadcast_to(np.inf if limit is None else np.asarray(limit), torque.shape)
    back = torque * view.speed_of(part.name) < -1e-3

    def word(i: int) -> str:
        if abs(torque[i]) > most[i]:
            return "overloaded"
        return "driven by the load" if back[i] else "turning"

    return view.words(word)
