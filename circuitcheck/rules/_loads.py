"""What rules ask of actuators: areas, forces on them, which way they go, what they feed."""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.circuit.model import Step
from circuitcheck.components._parts import Part
from circuitcheck.components._rod_loads import POINTS, G
from circuitcheck.components._rod_oil import areas as areas
from circuitcheck.components.cylinder import is_single
from circuitcheck.rules._case import Case
from circuitcheck.rules._paths import State
from circuitcheck.rules._turning import (
    hanging_torque,
    ordered,
    ordered_torque,
    rolling_torque,
    turned_by,
)

STILL = ("held", "at end stop", "at standstill")
"""What a step says of an actuator that does not move."""

CYLINDERS = ("cylinder", "telescopic cylinder")
MOTORS = ("motor", "rotary actuator")

MOVES = 1e-6
"""Speed under which an actuator stands [m/s or rad/s]; own choice."""

CREEP = 0.1e-3 / 60
"""Swept flow under which leakage, not a command, moves an actuator [m3/s]; own choice."""


def weight(case: Case, cylinder: Part, step: Step | None) -> float:
    """Weight on a rod in a step, positive where it pushes the rod in [N].

    What is given of the load goes over the lever to the rod, a mass by the slope of its
    motion. A table of forces over the stroke counts only where the rod is said to be
    suspended: else it is the force of the work, not a weight.
    """
    own = ordered(case, cylinder, step, "weight")
    own = -own if cylinder.says("hanging") else own
    slope = ordered(case, cylinder, step, "mass") * G * math.sin(cylinder.figure("angle") or 0.0)
    place = _place(case, cylinder, step)
    single = cylinder.figure("lever")
    lever = _table(cylinder, "lever", place, 1.0 if single is None else single)
    found = (own + slope) * lever
    clear = step is not None and "clear" in case.orders(step, cylinder.name).words
    if cylinder.says("suspended") and not clear:
        found += _table(cylinder, "force", place, 0.0)
    return found


def _place(case: Case, cylinder: Part, step: Step | None) -> float | None:
    """Place of a rod in a step [m], None where it is not known."""
    if step is None:
        return None
    said = case.orders(step, cylinder.name).figures.get("at")
    if said is not None:
        return said.value
    point = case.point(step.name)
    return None if point is None else point.parts[cylinder.name].values.get("place")


def _table(cylinder: Part, name: str, place: float | None, usual: float) -> float:
    """Value of a table over the stroke at a place, the largest where that is not known."""
    rows = [
        (cylinder.figure(f"{order} {name} place") or 0.0, cylinder.figure(f"{order} {name}") or 0.0)
        for order in POINTS
        if f"{order} {name}" in cylinder.figures
    ]
    if not rows:
        return usual
    if place is None:
        return max((value for _, value in rows), key=abs)
    return float(np.interp(place, [at for at, _ in rows], [value for _, value in rows]))


def greatest_weight(case: Case, cylinder: Part) -> float:
    """Greatest weight over rest and all steps, with its sign as in `weight` [N]."""
    found = [weight(case, cylinder, step) for step in (None, *case.circuit.steps)]
    return max(found, key=abs)


def ordered_load(case: Case, part: Part, step: Step) -> tuple[float, bool]:
    """Size of the load that a step orders, and whether it drives the motion."""
    orders = case.orders(step, part.name)
    figure = orders.figures.get("load")
    if figure is None:
        return 0.0, False
    return abs(figure.value), figure.value < 0.0 or "overrunning" in orders.words


def load_side(case: Case, cylinder: Part) -> str:
    """Port of the chamber that carries the weight; empty where nothing hangs on the rod."""
    push = greatest_weight(case, cylinder)
    if push > 0.0 or (push == 0.0 and cylinder.says("suspended")):
        return "cap"
    if push < 0.0 or cylinder.says("hanging"):
        return "" if is_single(cylinder) else "rod"
    return ""


def actuators(case: Case) -> list[Part]:
    return case.of_kind(*CYLINDERS, *MOTORS)


def cylinders(case: Case) -> list[Part]:
    return case.of_kind(*CYLINDERS)


def is_cylinder(part: Part) -> bool:
    return part.kind.word in CYLINDERS


def motors(case: Case) -> list[Part]:
    """Motors and rotary actuators."""
    return case.of_kind(*MOTORS)


def sides(part: Part) -> tuple[str, ...]:
    """Work ports of an actuator."""
    if not is_cylinder(part):
        return ("A", "B")
    return ("cap",) if is_single(part) else ("cap", "rod")


def commanded(case: Case, part: Part, step: Step) -> bool:
    """Whether a step asks the actuator to move: a load or a way, and not said to stand."""
    names = [part.name]
    if not is_cylinder(part):
        names += [load.name for load, _ in turned_by(case, part)]
    orders = [case.orders(step, name) for name in names]
    if any(word in order.words for order in orders for word in STILL):
        return False
    return any("load" in order.figures or "travels" in order.figures for order in orders)


def speed(case: Case, part: Part, step: Step) -> float | None:
    """Solved speed in a step, out positive; None where the step was not solved."""
    point = case.point(step.name)
    return None if point is None else point.parts[part.name].values["speed"]


def moves(case: Case, part: Part, step: Step) -> bool | None:
    """Whether an actuator moves more than leakage lets it; None where not solved."""
    now = speed(case, part, step)
    if now is None:
        return None
    return abs(now) * swept(part) > CREEP


def swept(part: Part) -> float:
    """Oil that an actuator takes for one metre or radian [m2 or m3]."""
    if is_cylinder(part):
        return areas(part)[0]
    return (part.figure("displacement") or 0.0) / (2.0 * math.pi)


def filling(case: Case, part: Part, state: State) -> str:
    """Work port that fills in a step: by the solved speed, else by what is supplied."""
    ports = sides(part)
    if state.step is not None:
        now = speed(case, part, state.step)
        if now is not None and abs(now) > MOVES:
            return ports[0] if now > 0.0 else ports[-1] if len(ports) > 1 else ""
    supplied = case.facts.supplied(state)
    fed = [port for port in ports if case.network.at(part.name, port) in supplied]
    return fed[0] if len(fed) == 1 else ports[0] if fed else ""


def other_side(part: Part, port: str) -> str:
    """The other work port; the cap of a single-acting cylinder that empties."""
    ports = sides(part)
    if len(ports) == 1:
        return "" if port else ports[0]
    return ports[1] if port == ports[0] else ports[0]


def driving_force(case: Case, part: Part, step: Step) -> float:
    """Force or torque of the load in the direction of the solved motion, 0 if it resists.

    What always works one way (a weight, what hangs on a rope, a slope) counts where it goes
    with the motion, less the load ordered against it.
    """
    now = speed(case, part, step)
    way = math.copysign(1.0, now) if now is not None and abs(now) > MOVES else 0.0
    if not is_cylinder(part):
        along = ordered_torque(case, part, step) - hanging_torque(case, part, step) * way
        return max(along - rolling_torque(case, part, step), 0.0)
    size, drives = ordered_load(case, part, step)
    along = size if drives else -size
    return max(along - weight(case, part, step) * way, 0.0)
