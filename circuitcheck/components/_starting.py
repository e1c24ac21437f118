"""A motor that starts: it breaks away against more friction than it has once it turns.

Every step is taken to start from rest. While the shaft stands, the friction is that of the
start; where the motor turns all the same, the step is solved again with the friction of
the running motor. So of the two answers that there may be, running or not, the one is
taken that a motor reaches by itself.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.components._losses import EVERYWHERE, TABLE, constant_torque, per_radian
from circuitcheck.components._parts import Parameter, Part, Result
from circuitcheck.laws.machines import STILL_SHAFT
from circuitcheck.laws.net import Bools, Net, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

STARTING = "starting torque"

TEST = "test pressure"

PARAMETER = Parameter(
    STARTING,
    "share",
    "%",
    "torque from rest at the test pressure, of that without losses",
    least=0.05,
    most=1.0,
)

MEASURES = (
    Result("torque at start", "torque", "what it would give from rest at this pressure"),
    Result("drop to start", "pressure", "pressure over it at which it would start this load"),
)

LAW_TEXT = (
    "standing shaft, with a starting torque: friction in proportion to pressure, so that at "
    "the test pressure that share of D dp is left; a step starts from rest",
)


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    """A motor gives no more from rest than when it turns."""
    if not part.given(STARTING):
        return []
    if TABLE in part.figures:
        message = f"{part.name} has its torque from rest twice: by '{TABLE}' and '{STARTING}'"
        return [(STARTING, message, "let the table begin at 0 rpm, or take one of the two away")]
    running = part.figure("mechanical") or 1.0
    friction = part.figure("friction coefficient")
    if friction is not None and not part.given("mechanical"):
        running = 1.0 - friction
    if part.figures[STARTING].value > running:
        message = f"{part.name} would give more torque from rest than when it turns"
        return [(STARTING, message, "the starting torque is less than the mechanical efficiency")]
    return []


def friction(part: Part, net: Net, full: Array, unit: dict[str, Value]) -> dict[str, Value]:
    """Coefficients of the unit with the friction of the start where the motor stands."""
    if not part.given(STARTING):
        return unit
    share = np.asarray(net.value(STARTING))
    if part.says(EVERYWHERE):
        whole = np.asarray(unit["mechanical"])
        return unit | {"mechanical": np.where(net.latched, whole, np.minimum(whole, share))}
    running = np.asarray(unit["rub"])
    held = constant_torque(part, net, full, motor=True) / np.asarray(net.value(TEST))
    rest = np.maximum(running, (1.0 - share) * full - held)
    return unit | {"rub": np.where(net.latched, running, rest)}


def latch(part: Part, view: View) -> tuple[Bools, Bools]:
    """It runs, in a step in which it broke away."""
    runs = np.abs(view.speed_of(part.name)) > 2.0 * STILL_SHAFT
    runs = runs & part.given(STARTING)
    return runs, ~runs


def results(part: Part, view: View) -> dict[str, Array]:
    """Torque from rest at the drop of the step, and the drop that its torque would need.

    The friction of the start is that of full displacement: at a part of it less is left.
    """
    if not part.given(STARTING):
        return {}
    share, stroke = np.asarray(view.value(STARTING)), view.element("unit", "stroke")
    full = per_radian(view.value("displacement"))
    drop = view.p("A") - view.p("B")
    # a stalled motor gives less than its own load asks for
    load = np.maximum(np.abs(view.element("unit", "torque")), np.abs(view.order_of("load", 0.0)))
    if part.says(EVERYWHERE):
        held, slope = np.zeros(view.variants), np.abs(stroke) * share * full
    else:
        held = constant_torque(part, view, full, motor=True)
        slope = (np.abs(stroke) - 1.0 + share) * full + held / np.asarray(view.value(TEST))
    way = np.sign(drop) * np.where(stroke < 0.0, -1.0, 1.0)
    needed = np.full(view.variants, np.nan)
    np.divide(load + held, slope, out=needed, where=slope > 0.0)
    return {
        "torque at start": way * np.maximum(slope * np.abs(drop) - held, 0.0),
        "drop to start": needed,
    }
