"""What works on a rod: weight, mass on a slope, springs, drag, forces over the stroke, levers.

Forces positive against motion out. What is given of the load goes over the lever to the
rod by virtual work: force on the rod = force of the load x way of the load per way of the
rod. Springs, drag and the table of forces act on the rod itself.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.components._parts import Caution, Parameter, Part
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

G = 9.80665
"""Standard acceleration of gravity [m/s2]; ISO 80000-3."""

CREEP = 5e-4
"""Speed under which a rod that no step orders to move is called creeping [m/s]."""

CAVITATES, RUNS_AWAY = "cavitates", "load runs away"
"""A chamber goes empty: by what else moves the rod, or by a load that drives it."""

ROD_IN = (0.0, "rod in before the first step; own choice")
"""Where a rod stands when nothing says so, with the source of that."""

POINTS = ("first", "second", "third", "fourth", "fifth", "sixth")
"""Points of a table over the stroke."""


def _point(order: str, name: str, quantity: str, unit: str, text: str) -> Parameter:
    at = Parameter(
        f"{order} {name} place", "length", "mm", f"place of the {order} point", least=0.0, most=50.0
    )
    return Parameter(f"{order} {name}", quantity, unit, f"{text}, {order} point", at=at)


PARAMETERS = (
    Parameter("weight", "force", "kN", "weight that pushes the rod in, in every step"),
    Parameter("mass", "mass", "kg", "mass that the rod moves", least=0.0, most=1e7),
    Parameter(
        "angle",
        "angle",
        "deg",
        "motion out above the level, for the mass; level unless said",
        least=-np.pi / 2,
        most=np.pi / 2,
    ),
    Parameter(
        "friction", "ratio", "", "friction factor of the slide under the mass", least=0.0, most=2.0
    ),
    Parameter("spring", "force", "kN", "spring force that pushes the rod in, rod in"),
    Parameter(
        "spring rate", "stiffness", "N/mm", "rise of the spring force over the stroke", least=0.0
    ),
    Parameter(
        "drag",
        "force",
        "kN",
        "resistance that grows with speed",
        least=0.0,
        at=Parameter("drag speed", "speed", "m/s", "speed of that resistance", 0.1, least=1e-4),
    ),
    Parameter(
        "lever", "ratio", "", "way of the load over way of the rod", least=-100.0, most=100.0
    ),
    *(
        _point(order, "lever", "ratio", "", "way of the load over way of the rod")
        for order in POINTS
    ),
    *(_point(order, "force", "force", "kN", "force against motion out") for order in POINTS),
)

ORDERS = (
    Parameter("load", "force", "kN", "force against the motion; negative drives it"),
    Parameter("weight", "force", "kN", "weight that pushes the rod in, in this step"),
    Parameter("mass", "mass", "kg", "mass that the rod moves in this step", least=0.0),
    Parameter("travels", "length", "mm", "way in this step", least=0.0),
    Parameter(
        "at", "length", "mm", "place of the rod in this step, for springs and tables", least=0.0
    ),
    Parameter("gains", "speed", "m/s", "change of speed, out positive, over the ramp"),
    Parameter("ramp", "time", "s", "time over which the rod changes speed", least=1e-3),
)


def place(view: Net | View) -> Array:
    """Place of the rod, as the step says or as followed through the steps [m]."""
    return view.order_of("at", view.place)


def over_stroke(view: Net | View, name: str, at: Array) -> Array | None:
    """Straight lines through the points of a table, level beyond its ends."""
    given = [order for order in POINTS if view.value_of(f"{order} {name}") is not None]
    if not given:
        return None
    height = [np.asarray(view.value(f"{order} {name}"), dtype=float) for order in given]
    where = [np.asarray(view.value(f"{order} {name} place"), dtype=float) for order in given]
    found = height[0] + np.zeros_like(at)
    for i in range(len(given) - 1):
        way = where[i + 1] - where[i]
        found = found + (height[i + 1] - height[i]) / way * np.clip(at - where[i], 0.0, way)
    return np.asarray(found)


def lever(view: Net | View) -> Array:
    """Way of the load over way of the rod."""
    table = over_stroke(view, "lever", place(view))
    if table is not None:
        return table
    one = view.value_of("lever")
    return np.full(view.variants, 1.0) * (1.0 if one is None else one)


def _or_none(view: Net | View, name: str) -> Value:
    found = view.value_of(name)
    return 0.0 if found is None else found


def steady(part: Part, view: Net | View) -> Array:
    """Force of one sign, positive against motion out [N]."""
    weight = view.order_of("weight", _or_none(view, "weight"))
    if part.says("hanging"):
        weight = -weight
    mass = view.order_of("mass", _or_none(view, "mass"))
    slope = mass * G * np.sin(np.asarray(_or_none(view, "angle")))
    ramp = view.order_of("ramp", np.inf)
    gains = view.order_of("gains", 0.0)
    ratio = lever(view)
    table = over_stroke(view, "force", place(view))
    on_rod = np.asarray(_or_none(view, "spring")) + np.asarray(
        _or_none(view, "spring rate")
    ) * place(view)
    if table is not None:
        on_rod = on_rod + np.where(view.said("clear"), 0.0, table)
    return np.asarray((weight + slope) * ratio + mass * ratio**2 * gains / ramp + on_rod)


def rubbing(view: Net | View) -> Array:
    """Friction of the slide under the mass, seen at the rod [N]."""
    mass = view.order_of("mass", _or_none(view, "mass"))
    level = np.cos(np.asarray(_or_none(view, "angle")))
    found = mass * G * level * np.asarray(_or_none(view, "friction")) * np.abs(lever(view))
    return np.asarray(found)


def viscous(view: Net | View) -> Array:
    """Resistance per speed of the rod [N s/m]."""
    force = view.value_of("drag")
    if force is None:
        return np.zeros(view.variants)
    rate: Array = np.asarray(force) / np.asarray(view.value("drag speed"))
    return np.broadcast_to(rate, (view.variants,))


def apply(part: Part, net: Net, speed: int) -> None:
    """Write all that works on the rod."""
    resisting, driving = net.load_of("load")
    ratio = lever(net)
    at_rod = np.abs(ratio)
    net.load("load", speed, resisting=resisting * at_rod, steady=driving * at_rod)
    net.load(
        "weight", speed, resisting=rubbing(net), steady=steady(part, net), viscous=viscous(net)
    )


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    """Tables whose points do not follow each other, or have no place."""
    found = []
    for name in ("lever", "force"):
        last: tuple[str, float] | None = None
        for order in POINTS:
            if f"{order} {name}" not in part.figures:
                continue
            at = part.figures.get(f"{order} {name} place")
            if at is None:
                found.append(
                    (
                        f"{order} {name}",
                        f"the {order} {name} of {part.name} has no place",
                        f"write, for example: {order} {name} {part.figures[f'{order} {name}'].text}"
                        " at 100 mm",
                    )
                )
                break
            if last is not None and at.value <= last[1]:
                found.append(
                    (
                        f"{order} {name}",
                        f"the {order} {name} of {part.name}, at {at.text}, is not beyond the "
                        f"{last[0]}",
                        "points follow each other from rod in to rod out",
                    )
                )
                break
            last = (order, at.value)
        if name == "lever" and last is not None and "lever" in part.figures:
            message = f"{part.name} has a lever of one ratio and a table of it"
            found.append(("lever", message, "take one away"))
    return found


def goes_empty(force: float, speed: float) -> str:
    """State of a moving rod with an empty chamber: its load gives power to the oil or not."""
    return RUNS_AWAY if force * speed < 0.0 else CAVITATES


def cautions(part: Part, view: View) -> list[tuple[Caution, ...]]:
    """Say where a rod moves in that no step before moved out and nothing says stood out."""
    speed = view.speed_of(part.name)
    pushed_out = view.pinned(part.name) & (view.reaction_of(part.name) < 0.0)
    out = (speed > CREEP) | pushed_out
    by_step = view.by_step(out)
    ever = np.logical_or.accumulate(by_step, axis=0)
    before = np.concatenate([np.zeros_like(by_step[:1]), ever[:-1]]).ravel()
    known = np.isfinite(view.order_of("at", np.nan)) | part.given("at start")
    doubted = (speed < -CREEP) & ~before & ~known
    caution = Caution(
        "rod-counts-as-in",
        f"{part.name} moves in, but no step before moves it out: it counts as rod in from the "
        "start, so its place is not followed here",
        f"say where it stands, for example:  {part.name} ..., at start 300 mm",
    )
    return [(caution,) if doubt else () for doubt in doubted]
