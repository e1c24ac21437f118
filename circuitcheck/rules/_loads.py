"""What rules ask of actuators: areas, forces on them, which way they go, what they feed."""

from __future__ import annotations

import math

from circuitcheck.circuit.model import Step
from circuitcheck.components._parts import Part
from circuitcheck.components.cylinder import is_single
from circuitcheck.rules._case import Case
from circuitcheck.rules._paths import State

STILL = ("held", "at end stop", "at standstill")
"""What a step says of an actuator that does not move."""

MOVES = 1e-6
"""Speed under which an actuator stands [m/s or rad/s]; own choice."""

CREEP = 0.1e-3 / 60
"""Swept flow under which leakage, not a command, moves an actuator [m3/s]; own choice."""


def areas(cylinder: Part) -> tuple[float, float]:
    """Areas of cap and rod side [m2]; no rod side gives 0."""
    acting = cylinder.choices.get("acting", "double acting")
    rod = _circle(cylinder.figure("rod"))
    if acting == "plunger":
        return rod, 0.0
    bore = _circle(cylinder.figure("bore"))
    if acting == "double rod":
        return bore - rod, bore - rod
    return bore, 0.0 if is_single(cylinder) else bore - rod


def _circle(diameter: float | None) -> float:
    return 0.25 * math.pi * (diameter or 0.0) ** 2


def weight(case: Case, cylinder: Part, step: Step | None) -> float:
    """Weight on a rod in a step, positive where it pushes the rod in [N]."""
    own = cylinder.figure("weight") or 0.0
    if step is not None:
        said = case.orders(step, cylinder.name).figures.get("weight")
        own = own if said is None else said.value
    return -own if cylinder.says("hanging") else own


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
    return case.of_kind("cylinder", "motor")


def sides(part: Part) -> tuple[str, ...]:
    """Work ports of an actuator."""
    if part.kind.word == "motor":
        return ("A", "B")
    return ("cap",) if is_single(part) else ("cap", "rod")


def commanded(case: Case, part: Part, step: Step) -> bool:
    """Whether a step asks the actuator to move: a load or a way, and not said to stand."""
    names = [part.name]
    if part.kind.word == "motor":
        names += [w.name for w in case.of_kind("winch") if w.driven_by == part.name]
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
    swept = areas(part)[0] if part.kind.word == "cylinder" else _per_radian(part)
    return abs(now) * swept > CREEP


def _per_radian(motor: Part) -> float:
    return (motor.figure("displacement") or 0.0) / (2.0 * math.pi)


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

    For a cylinder that the weight pushes or pulls along, the weight less the load ordered
    against the motion.
    """
    size, drives = ordered_load(case, part, step)
    if part.kind.word == "motor":
        for winch in case.of_kind("winch"):
            if winch.driven_by == part.name and not drives:
                size, drives = ordered_load(case, winch, step)
        return size if drives else 0.0
    along = size if drives else -size
    now = speed(case, part, step)
    if now is not None and abs(now) > MOVES:
        along += -weight(case, part, step) * math.copysign(1.0, now)
    return max(along, 0.0)
