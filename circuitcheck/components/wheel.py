"""Wheel: driven by a motor, on the ground; pull, speed over ground, slope, grip."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._drives import SHAFT_SCALE
from circuitcheck.components._parts import Figures, Kind, Parameter, Part, Result, fixed_ports
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View


def _arm(of: Net | View) -> Array:
    """Speed over ground for each speed of the motor [m]."""
    arm: Array = np.asarray(of.value("radius"), dtype=float) / np.asarray(of.value("ratio"))
    return arm


def _on_wheel(of: Net | View) -> Array:
    return of.order_of("weight", of.value("weight"))


def _slope(of: Net | View) -> Array:
    """Share of the weight that pulls back on the slope: sine of its angle."""
    grade = of.order_of("grade", 0.0)
    pull: Array = grade / np.sqrt(1.0 + grade**2)
    return pull


def equations(part: Part, net: Net) -> None:
    if not part.driven_by:
        return
    shaft = net.shaft(SHAFT_SCALE)
    arm, gear, weight = _arm(net), np.asarray(net.value("gear")), _on_wheel(net)
    resisting, steady = net.load_of("load")
    resisting = resisting + np.asarray(net.value("rolling")) * weight
    uphill = steady + _slope(net) * weight
    # a force that drives the wheel comes through the gear with its loss
    through = np.where(uphill >= 0.0, 1.0 / gear, gear)
    net.load(
        "ground",
        shaft,
        resisting=resisting * arm / gear,
        steady=uphill * arm * through,
        useful=gear,
    )


def results(part: Part, view: View) -> dict[str, Figures]:
    speed = view.speed_of(part.driven_by or part.name) * _arm(view)
    torque = view.element("ground", "force")
    gear = np.asarray(view.value("gear"))
    at_motor = torque / _arm(view)
    force = np.where(at_motor * speed >= 0.0, at_motor * gear, at_motor / gear)
    found = {"speed": speed, "force": force, "power": force * speed}
    weight = _on_wheel(view)
    with np.errstate(divide="ignore", invalid="ignore"):
        found["grip used"] = np.where(weight > 0.0, np.abs(force) / weight, np.nan)
    return found


def state(part: Part, view: View) -> list[str]:
    found = results(part, view)
    grip, used = view.value_of("grip"), found["grip used"]
    held = np.broadcast_to(np.inf if grip is None else np.asarray(grip), used.shape)
    speed = found["speed"]

    def word(i: int) -> str:
        if used[i] > held[i]:
            return "spins"
        if abs(speed[i]) < 1e-3:
            return "standing"
        return "rolling" if speed[i] > 0.0 else "rolling back"

    return view.words(word)


KINDS = (
    Kind(
        word="wheel",
        text="Wheel or sprocket on a motor; its load is a pull over the ground, beside the "
        "torque that a step puts on the motor.",
        ports=fixed_ports(),
        parameters=(
            Parameter("radius", "length", "mm", "rolling radius", needed=True, least=1e-3),
            Parameter("ratio", "ratio", "", "motor turns a wheel turn", default=1.0, least=1e-3),
            Parameter(
                "gear",
                "share",
                "%",
                "efficiency of the gear",
                default=1.0,
                least=0.05,
                most=1.0,
                source="no gear unless given",
            ),
            Parameter("weight", "force", "kN", "weight on the wheel", default=0.0, least=0.0),
            Parameter(
                "rolling",
                "share",
                "%",
                "rolling resistance as a share of the weight",
                default=0.0,
                least=0.0,
                most=1.0,
                source="none unless given; 1.5 % on asphalt, 10 % on soil: common practice, "
                "no source",
            ),
            Parameter(
                "grip",
                "share",
                "%",
                "pull at which the wheel spins, of the weight",
                least=0.0,
                most=2.0,
            ),
        ),
        orders=(
            Parameter("load", "force", "kN", "pull against the motion; negative drives it"),
            Parameter(
                "grade", "share", "%", "slope; up against positive motion", least=-2.0, most=2.0
            ),
            Parameter("weight", "force", "kN", "weight on the wheel in this step", least=0.0),
        ),
        poses=("overrunning",),
        driven=True,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("speed", "speed", "speed over ground"),
            Result("force", "force", "pull of the wheel against its own load"),
            Result("power", "power", "power given to the ground"),
            Result("grip used", "share", "pull over the weight on the wheel"),
        ),
        law_text=(
            "v = w r/ratio",
            "M = r/(ratio x gear) x (rolling resistance + pull + weight x sine of the slope)",
        ),
        sources=("geometry; pull of a slope = weight x sine; textbook form, from memory",),
    ),
)
