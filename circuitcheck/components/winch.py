"""Winch: a rope drum on a motor through a gear; the pull sets the motor's torque."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._drives import SHAFT_SCALE
from circuitcheck.components._parts import Figures, Kind, Parameter, Part, Result, fixed_ports
from circuitcheck.laws.machines import STILL_SHAFT
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View


def _radius(view: Net | View) -> Array:
    layer = view.order_of("layer", 1.0)
    drum, rope = np.asarray(view.value("drum")), np.asarray(view.value("rope"))
    radius: Array = 0.5 * (drum + (2.0 * layer - 1.0) * rope)
    return radius


def hanging(view: Net | View) -> Array:
    """Pull that always pays the rope out: what hangs on it [N].

    Through the gear it is more on the motor while it is hauled in (over the efficiency)
    and less while it is paid out; standing, any torque between the two holds it.
    """
    own = view.value_of("weight")
    return view.order_of("weight", 0.0 if own is None else own)


def equations(part: Part, net: Net) -> None:
    if not part.driven_by:
        return
    shaft = net.shaft(SHAFT_SCALE)
    ratio, gear = np.asarray(net.value("ratio")), np.asarray(net.value("gear"))
    arm = _radius(net) / ratio
    resisting, steady = net.load_of("load")
    net.load(
        "rope", shaft, resisting=resisting * arm / gear, steady=steady * arm * gear, useful=gear
    )
    hung = hanging(net) * arm
    net.load(
        "hanging",
        shaft,
        resisting=0.5 * hung * (1.0 / gear - gear),
        steady=0.5 * hung * (1.0 / gear + gear),
        useful=gear,
    )


def results(part: Part, view: View) -> dict[str, Figures]:
    radius = _radius(view)
    shaft = view.speed_of(part.driven_by or part.name)
    drum = np.where(np.abs(shaft) <= 2.0 * STILL_SHAFT, 0.0, shaft) / np.asarray(
        view.value("ratio")
    )
    speed = drum * radius
    pull = np.abs(view.order_of("load", 0.0)) + hanging(view)
    return {
        "speed": speed,
        "force": pull,
        "power": pull * speed,
        "radius": radius,
        "drum speed": drum,
    }


def state(part: Part, view: View) -> list[str]:
    speed = view.speed_of(part.driven_by or part.name)

    def word(i: int) -> str:
        if abs(speed[i]) <= 2.0 * STILL_SHAFT:
            return "standing"
        return "hauling in" if speed[i] > 0.0 else "paying out"

    return view.words(word)


KINDS = (
    Kind(
        word="winch",
        text="Rope drum on a motor; pull and speed on the layer that the step says.",
        ports=fixed_ports(),
        parameters=(
            Parameter("ratio", "ratio", "", "motor turns a drum turn", default=1.0, least=1e-3),
            Parameter(
                "gear", "share", "%", "efficiency of the gear", default=0.95, least=0.05, most=1.0
            ),
            Parameter("drum", "length", "mm", "drum diameter", needed=True, least=1e-3),
            Parameter("rope", "length", "mm", "rope diameter", default=0.0, least=0.0),
            Parameter(
                "layers", "count", "", "rope layers on the full drum", default=1.0, least=1.0
            ),
            Parameter(
                "weight",
                "force",
                "kN",
                "what hangs on the rope and pays it out, in every step",
                least=0.0,
            ),
            Parameter("rated", "force", "kN", "rated rope pull", least=1.0),
        ),
        orders=(
            Parameter("load", "force", "kN", "rope pull against the motion; negative drives it"),
            Parameter("weight", "force", "kN", "what hangs on the rope in this step", least=0.0),
            Parameter("layer", "count", "", "layer in work", least=1.0),
        ),
        poses=("overrunning",),
        driven=True,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("speed", "speed", "rope speed"),
            Result("force", "force", "rope pull"),
            Result("power", "power", "power given to the rope"),
            Result("radius", "length", "radius of the layer in work"),
            Result("drum speed", "rotation", "speed of the drum, hauling in positive"),
        ),
        law_text=(
            "v = w radius/ratio, radius of layer k = (drum + (2 k - 1) rope)/2",
            "M = load x radius/(ratio x gear); lowering, the load drives with the gear's loss",
        ),
        sources=("geometry: radius of a layer = (drum + (2 k - 1) rope)/2",),
    ),
)
