"""Cylinder: oil moves a rod; single, double acting, double rod, plunger, tandem."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _rod_loads
from circuitcheck.components._buckling import LENGTH_FACTOR, buckling_load
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
)
from circuitcheck.components._trade import BELOW, CLAMP, CRITICAL, NEAR_PEOPLE
from circuitcheck.laws._law import BAR
from circuitcheck.laws.machines import FASTEST_ROD, STILL_ROD
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

VISCOUS = 0.02 * BAR
"""Seal friction that grows with speed [Pa per m/s on the larger area]; own choice, so
small that it only settles how rods in parallel share oil."""

PUSHES = 1.0
"""Force on a rod under which it bears nothing that could bend it [N]: what rounding leaves of a
rod without load would make a safety of 1e18. Own choice."""

EMPTY = 1e-6
"""Length of oil in a chamber under which it is no spring [m]; own choice."""

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
    if acting == "tandem":
        return 2.0 * bore - rod, 2.0 * (bore - rod)
    return bore, np.zeros(()) if is_single(part) else bore - rod


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    return _size_mistakes(part) + _end_mistakes(part) + _rod_loads.mistakes(part)


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    return {"at start": _rod_loads.ROD_IN}


def _end_mistakes(part: Part) -> list[tuple[str, str, str]]:
    """Places beyond the stroke, a cushion that does not fit."""
    found = []
    stroke, start = part.figures.get("stroke"), part.figures.get("at start")
    if stroke and start and start.value > stroke.value:
        message = f"{part.name} cannot start at {start.text}; its stroke is {stroke.text}"
        found.append(("at start", message, "it counts from rod in"))
    cushion = part.figures.get("cushion")
    if stroke and cushion and cushion.value >= stroke.value:
        message = f"the cushion ({cushion.text}) is not shorter than the stroke ({stroke.text})"
        found.append(("cushion", message, "a cushion is the last 10 to 40 mm"))
    spear, bore = part.figures.get("spear"), part.figures.get("bore")
    if spear and bore and spear.value >= bore.value:
        message = f"the cushion spear ({spear.text}) is not smaller than the bore ({bore.text})"
        found.append(("spear", message, "it shuts the outlet; the ring round it brakes"))
    return found


def _size_mistakes(part: Part) -> list[tuple[str, str, str]]:
    bore, rod = part.figures.get("bore"), part.figures.get("rod")
    if part.choices.get("acting") == "plunger":
        if rod is None:
            return [("rod", f"the plunger {part.name} needs 'rod'", "its rod is its piston")]
        if part.given("bore"):
            message = f"the plunger {part.name} has no piston, and 'bore' says nothing of it"
            return [("bore", message, "its rod is its piston; leave the bore out")]
        return _leak_mistakes(part)
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
    return _leak_mistakes(part)


def _leak_mistakes(part: Part) -> list[tuple[str, str, str]]:
    """A seal leaks from one port to the other: both must be there."""
    if not (is_single(part) and part.given("seal leak")):
        return []
    message = f"{part.name} has one port, and its 'seal leak' no way to another"
    return [("seal leak", message, "leave it out, or make the cylinder double acting")]


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
    _rod_loads.apply(part, net, speed)
    net.void("void cap", "cap", FASTEST_ROD * larger)
    leak = net.value_of("seal leak")
    if rod is not None:
        net.void("void rod", "rod", FASTEST_ROD * larger)
        if leak is not None:
            net.gap(
                "seal", "cap", "rod", np.asarray(leak) / np.asarray(net.value("seal leak pressure"))
            )
    net.pin(speed, 0.0, net.said("at end stop"))


def cushion_pressure(part: Part, view: View, speed: Array, push: Array) -> Array | None:
    """Pressure in the cushion that stops the mass evenly over the cushion's length [Pa].

    ``push`` is the force of the oil along the motion [N]; textbook form: the pressure
    on the ring round the spear takes up oil, mass and load. None where figures lack.
    """
    length, spear = view.value_of("cushion"), view.value_of("spear")
    own = view.value_of("mass")
    mass = view.order_of("mass", 0.0 if own is None else own)
    if length is None or spear is None or part.says("plunger") or not np.any(mass > 0.0):
        return None
    way = np.sign(speed)
    braking = mass * _rod_loads.lever(view) ** 2 * speed**2 / (2.0 * np.asarray(length))
    load = _rod_loads.rubbing(view) + way * _rod_loads.steady(part, view)
    ring = circle(view.value("bore")) - circle(spear)
    return np.where(way == 0.0, np.nan, (push + braking - load) / ring)


def _more(part: Part, view: View, speed: Array, force: Array) -> dict[str, Figures]:
    """Figures that only some cylinders have: buckling, cushion."""
    found: dict[str, Figures] = {}
    length, rod = view.value_of("length"), view.value_of("rod")
    if length is not None and rod is not None:
        factor = LENGTH_FACTOR[part.choices.get("mounting", "pinned both ends")]
        load = buckling_load(np.asarray(rod), factor * np.asarray(length))
        found["buckling load"] = np.broadcast_to(load, force.shape)
        with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
            found["buckling safety"] = np.where(force > PUSHES, load / force, np.nan)
    cap_area, rod_area = areas(part, view)
    given = view.value_of("stop pressure")
    driven = [view.p("cap"), view.p("rod")] if given is None else [np.asarray(given)] * 2
    push = np.where(speed > 0.0, cap_area * driven[0], rod_area * driven[1])
    push = push * np.asarray(view.value("efficiency"))
    cushion = cushion_pressure(part, view, speed, push)
    return found if cushion is None else found | {"cushion pressure": cushion}


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
        "place": _rod_loads.place(view),
        "stop force": np.where(view.pinned(part.name), -view.reaction_of(part.name), 0.0),
        **_pressed(part, view),
        **_more(part, view, np.where(still, 0.0, speed), force),
    }


def _pressed(part: Part, view: View) -> dict[str, Figures]:
    """Oil that its chambers take up by pressure, and the spring that they are, ports shut."""
    place, stroke = _rod_loads.place(view), np.asarray(view.value("stroke"))
    taken, spring = np.zeros(view.variants), np.zeros(view.variants)
    for area, length, port in zip(
        areas(part, view), (place, stroke - place), ("cap", "rod"), strict=True
    ):
        pressure, way = np.maximum(view.p(port), 0.0), np.maximum(length, 0.0)
        taken = taken + area * way * pressure / view.oil.secant(pressure)
        with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
            stiff = area * view.oil.tangent(pressure) / way
        spring = spring + np.where((way > EMPTY) & (area > 0.0), stiff, 0.0)
    return {"compression": taken, "oil spring": np.where(spring > 0.0, spring, np.nan)}


def state(part: Part, view: View) -> list[str]:
    speed = view.speed_of(part.name)
    stopped = view.pinned(part.name)
    empty = (view.element("void cap") > 0.0) | (view.element("void rod") > 0.0)
    force = view.element("piston", "force")
    asked = (np.abs(view.order_of("load", 0.0)) > 0.0) | (view.order_of("travels", 0.0) > 0.0)

    def word(i: int) -> str:
        if stopped[i]:
            return "at end stop"
        if empty[i] and abs(speed[i]) > STILL_ROD:
            return _rod_loads.goes_empty(force[i], speed[i])
        if abs(speed[i]) <= 2.0 * STILL_ROD:
            return "stalled" if asked[i] else "held"
        if not asked[i] and abs(speed[i]) < _rod_loads.CREEP:
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
            *pressure_data(),
            *CLAMP,
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
                least=0.0,
                at=Parameter(
                    "seal leak pressure",
                    "pressure",
                    "bar",
                    "pressure of that leakage",
                    default=100 * BAR,
                    least=0.1 * BAR,
                ),
            ),
            *_rod_loads.PARAMETERS,
            Parameter("at start", "length", "mm", "rod out when the first step begins", least=0.0),
            Parameter(
                "length", "length", "mm", "pin to pin, rod out, for buckling", least=1e-3, most=1e2
            ),
            Parameter("speed limit", "speed", "m/s", "highest piston speed", least=1e-4),
            Parameter("cushion", "length", "mm", "way over which a cushion brakes", least=1e-4),
            Parameter("spear", "length", "mm", "diameter of the cushion spear", least=1e-4),
            Parameter(
                "stop pressure", "pressure", "bar", "driving pressure in the cushion", least=0.0
            ),
        ),
        choices=(
            NEAR_PEOPLE,
            CRITICAL,
            BELOW,
            Choice(
                "acting",
                (
                    "double acting",
                    "single acting",
                    "plunger",
                    "spring return",
                    "double rod",
                    "tandem",
                ),
                default="double acting",
            ),
            Choice(
                "mounting",
                ("pinned both ends", "fixed and pinned", "fixed and free", "fixed both ends"),
            ),
            Choice("load", ("hanging", "suspended"), many=True),
            Choice("cushion", ("cushioned",)),
        ),
        orders=_rod_loads.ORDERS,
        poses=("at end stop", "held", "overrunning", "clear"),
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        cautions=_rod_loads.cautions,
        measures=(
            Result("speed", "speed", "rod speed, out positive"),
            Result("force", "force", "force on the rod, friction taken off"),
            Result("power", "power", "power given to the load"),
            Result("time", "time", "time for the way of the step"),
            Result("flow", "flow", "flow at the cap end"),
            Result("place", "length", "place of the rod in the middle of the step, in = 0"),
            Result("compression", "volume", "oil that pressing its oil together takes up"),
            Result("oil spring", "stiffness", "spring rate of its oil, ports shut, at its place"),
            Result("stop force", "force", "force on the end stop or what holds it, out positive"),
            Result("buckling load", "force", "load at which the rod buckles, fully out"),
            Result("buckling safety", "ratio", "buckling load over push"),
            Result("cushion pressure", "pressure", "pressure that brakes evenly in the cushion"),
        ),
        law_text=(
            "q(cap) = A v, q(rod) = -(A - a) v, a = area of the rod",
            "force = efficiency x (p(cap) A - p(rod) (A - a)), friction against the motion",
            "piston seal: q = leak in proportion to the difference",
            "compression = sum of A x way x p/K of both chambers; oil spring = sum of A K/way",
            "at an end stop: v = 0, the rest of the force is on the stop",
        ),
        sources=(
            "force balance; friction as a share of the pressure force, common practice",
            "loads over levers by virtual work; Euler and Johnson for buckling: textbook",
        ),
    ),
)
