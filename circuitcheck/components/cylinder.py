"""Cylinder: oil moves a rod; single, double acting, double rod, plunger."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import circle, pressure_rating
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
from circuitcheck.laws._law import BAR
from circuitcheck.laws.machines import STILL_ROD
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

VISCOUS = 0.02 * BAR
"""Seal friction that grows with speed [Pa per m/s on the larger area]; own choice, so
small that it only settles how rods in parallel share oil."""

CREEP = 5e-4
"""Speed under which a rod that no step orders to move is called creeping [m/s]."""

SINGLE = ("single acting", "plunger", "spring return")


def is_single(part: Part) -> bool:
    return part.choices.get("acting", "double acting") in SINGLE


def ports(part: Part) -> tuple[Port, ...]:
    cap = Port("cap", PortKind.WORK, "cap end")
    return (cap,) if is_single(part) else (cap, Port("rod", PortKind.WORK, "rod end"))


def areas(part: Part, view: Net | View) -> tuple[Array, Array]:
    """Area that pushes out and area that pulls in [m2]."""
    acting = part.choices.get("acting", "double acting")
    rod = circle(view.value("rod")) if view.value_of("rod") is not None else np.zeros(())
    if acting == "plunger":
        return rod, np.zeros(())
    bore = circle(view.value("bore"))
    if acting == "double rod":
        return bore - rod, bore - rod
    return bore, np.zeros(()) if is_single(part) else bore - rod


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    bore, rod = part.figures.get("bore"), part.figures.get("rod")
    if part.choices.get("acting") == "plunger":
        if rod is None:
            return [("rod", f"the plunger {part.name} needs 'rod'", "its rod is its piston")]
        return []
    if bore is None:
        return [("bore", f"{part.name} needs 'bore'", "write, for example, bore 80 mm")]
    if rod is None and not is_single(part):
        return [("rod", f"{part.name} needs 'rod'", "write, for example, rod 45 mm")]
    if rod is not None and rod.value >= bore.value:
        return [
            (
                "rod",
                f"the rod ({rod.text}) is not smaller than the bore ({bore.text})",
                "a rod is thinner than its piston; are the two swapped?",
            )
        ]
    return []


def steady_force(part: Part, view: Net | View) -> Array:
    """Weight and spring: force that pushes the rod in [N]."""
    own, spring = view.value_of("weight"), view.value_of("spring")
    weight = view.order_of("weight", 0.0 if own is None else own)
    if part.says("hanging"):
        weight = -weight
    return weight + (0.0 if spring is None else spring)


def equations(part: Part, net: Net) -> None:
    cap_area, rod_area = areas(part, net)
    speed = net.rod(float(np.max(cap_area)))
    rubbed = 1.0 - np.asarray(net.value("efficiency"))
    rod = None if is_single(part) else "rod"
    larger = np.maximum(cap_area, rod_area)
    net.piston(
        "piston",
        "cap",
        rod,
        speed,
        cap_area=cap_area,
        rod_area=rod_area,
        share=rubbed,
        viscous=VISCOUS * larger,
    )
    resisting, driving = net.load_of("load")
    net.load("load", speed, resisting=resisting, steady=driving)
    net.load("weight", speed, steady=steady_force(part, net))
    net.void("void cap", "cap")
    leak = net.value_of("seal leak")
    if rod is not None:
        net.void("void rod", "rod")
        if leak is not None:
            net.gap(
                "seal", "cap", "rod", np.asarray(leak) / np.asarray(net.value("seal leak pressure"))
            )
    net.pin(speed, 0.0, net.said("at end stop"))


def results(part: Part, view: View) -> dict[str, Figures]:
    speed = view.speed_of(part.name)
    still = np.abs(speed) <= 2.0 * STILL_ROD
    force = view.element("piston", "force")
    travel = view.order_of("travels", np.nan)
    with np.errstate(divide="ignore", invalid="ignore"):
        time = np.where(still, np.nan, travel / np.abs(speed))
    return {
        "speed": np.where(still, 0.0, speed),
        "force": force,
        "power": force * speed,
        "time": time,
        "flow": np.abs(view.q("cap")),
    }


def state(part: Part, view: View) -> list[str]:
    speed = view.speed_of(part.name)
    stopped = view.pinned(part.name)
    empty = (view.element("void cap") > 0.0) | (view.element("void rod") > 0.0)
    asked = (np.abs(view.order_of("load", 0.0)) > 0.0) | (view.order_of("travels", 0.0) > 0.0)

    def word(i: int) -> str:
        if stopped[i]:
            return "at end stop"
        if empty[i] and abs(speed[i]) > STILL_ROD:
            return "cavitates"
        if abs(speed[i]) <= 2.0 * STILL_ROD:
            return "stalled" if asked[i] else "held"
        if not asked[i] and abs(speed[i]) < CREEP:
            return "creeping out" if speed[i] > 0.0 else "creeping in"
        return "moving out" if speed[i] > 0.0 else "moving in"

    return view.words(word)


KINDS = (
    Kind(
        word="cylinder",
        text="Cylinder; the cap end pushes the rod out.",
        ports=ports,
        parameters=(
            Parameter("bore", "length", "mm", "piston diameter", least=1e-3, most=2.0),
            Parameter("rod", "length", "mm", "rod diameter", least=1e-3, most=2.0),
            Parameter("stroke", "length", "mm", "stroke", needed=True, least=1e-4, most=50.0),
            pressure_rating(),
            Parameter(
                "efficiency",
                "share",
                "%",
                "force left after seal friction",
                default=0.95,
                least=0.3,
                most=1.0,
                source="0.9 to 0.98 is usual; common practice, no source",
            ),
            Parameter(
                "seal leak",
                "flow",
                "L/min",
                "leakage past the piston",
                at=Parameter(
                    "seal leak pressure",
                    "pressure",
                    "bar",
                    "pressure of that leakage",
                    default=100 * BAR,
                ),
            ),
            Parameter("weight", "force", "kN", "weight that pushes the rod in, in every step"),
            Parameter("spring", "force", "kN", "spring force that pushes the rod in"),
            Parameter("length", "length", "mm", "pin to pin, rod out, for buckling"),
            Parameter("speed limit", "speed", "m/s", "highest piston speed"),
        ),
        choices=(
            Choice(
                "acting",
                ("double acting", "single acting", "plunger", "spring return", "double rod"),
                default="double acting",
            ),
            Choice(
                "mounting",
                ("pinned both ends", "fixed and pinned", "fixed and free", "fixed both ends"),
            ),
            Choice("load", ("hanging", "suspended"), many=True),
            Choice("cushion", ("cushioned",)),
        ),
        orders=(
            Parameter("load", "force", "kN", "force against the motion; negative drives it"),
            Parameter("weight", "force", "kN", "weight that pushes the rod in, in this step"),
            Parameter("travels", "length", "mm", "way in this step", least=0.0),
        ),
        poses=("at end stop", "held", "overrunning"),
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("speed", "speed", "rod speed, out positive"),
            Result("force", "force", "force on the rod, friction taken off"),
            Result("power", "power", "power given to the load"),
            Result("time", "time", "time for the way of the step"),
            Result("flow", "flow", "flow at the cap end"),
        ),
        sources=("force balance; friction as a share of the pressure force, common practice",),
    ),
)
