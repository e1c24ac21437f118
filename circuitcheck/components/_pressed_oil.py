"""Oil pressed together in the chambers of a pump or motor, and carried to the low side."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._parts import Parameter, Part
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

DEAD = "dead volume"

PARAMETER = Parameter(
    DEAD,
    "share",
    "%",
    "space that stays in a chamber, of its stroke volume; with it the unit has a loss by "
    "compression. 10 to 30 % of piston units",
    least=0.0,
    most=2.0,
)

LAW_TEXT = (
    "with a dead volume: flow D w dp/K (dead volume + (1 - stroke)/2) goes from the high to the "
    "low side, K from no pressure to the test pressure; its work is lost",
)


def coefficients(part: Part, net: Net) -> dict[str, Value]:
    """Coefficients of a rotary unit; none where the text gives no dead volume."""
    if not part.given(DEAD):
        return {}
    modulus = net.oil.secant(net.value("test pressure"))
    return {"pressed": 1.0 / modulus, "dead": net.value(DEAD)}


def share(part: Part, of: Net | View) -> Array:
    """Share of the full flow that is lost at the test point."""
    if not part.given(DEAD):
        return np.zeros(of.variants)
    dp = np.asarray(of.value("test pressure"))
    lost: Array = dp / of.oil.secant(dp) * np.asarray(of.value(DEAD))
    return lost


def flow(part: Part, view: View, dp: Array, speed: Array) -> Array:
    """Flow carried from the high to the low side [m3/s]."""
    dp_test = np.asarray(view.value("test pressure"))
    full = np.asarray(view.value("displacement")) / (2.0 * np.pi)
    space = np.asarray(view.value(DEAD)) + 0.5 * (1.0 - np.abs(view.element("unit", "stroke")))
    lost: Array = full * np.abs(speed * dp) / view.oil.secant(dp_test) * space
    return lost
