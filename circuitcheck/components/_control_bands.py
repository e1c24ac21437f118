"""How far a control of a pump stands off its setting, and how far its stroke is uncertain.

Droop: a control by pressure holds its setting at no flow, and less the more the pump gives;
over its band it goes from full to no stroke. Hysteresis: friction holds the control back,
so that the stroke is not the same coming up and going down. Between the two any stroke may
stand; the solved one is their middle.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.components._parts import Part, Result
from circuitcheck.components._pump_controls import DIFFERENCE, asked
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

MEASURES = (
    Result("stroke rising", "share", "stroke when it is reached from below"),
    Result("stroke falling", "share", "stroke when it is reached from above"),
    Result("flow rising", "flow", "delivery at the stroke reached from below"),
    Result("flow falling", "flow", "delivery at the stroke reached from above"),
    Result("droop", "pressure", "setting at no flow over what its control holds now"),
    Result("control band", "pressure", "from full to no stroke of the control that holds"),
    Result("hysteresis band", "pressure", "what hysteresis is worth at the control that holds"),
)


def bands(
    part: Part, view: View, ends: tuple[str, str], flow: Array, speed: Array
) -> dict[str, Array]:
    """Figures of the control that holds the pump; droop and bands not defined elsewhere.

    ``flow`` [m3/s] and ``speed`` [rad/s] as solved; half the hysteresis lies to either side.
    """
    stroke, hysteresis = view.element("unit", "stroke"), np.asarray(view.value("hysteresis"))
    size = np.abs(stroke)
    half = np.where((size > 0.0) & (size < 1.0), 0.5 * hysteresis, 0.0)
    rising, falling = np.clip(size - half, 0.0, 1.0), np.clip(size + half, 0.0, 1.0)
    full = np.asarray(view.value("displacement")) / (2.0 * np.pi) * np.abs(speed)
    droop, band = _held(part, view, ends)
    return {
        "stroke rising": rising,
        "stroke falling": falling,
        "flow rising": flow - (size - rising) * full,
        "flow falling": flow + (falling - size) * full,
        "droop": droop,
        "control band": band,
        "hysteresis band": band * hysteresis,
    }


def _held(part: Part, view: View, ends: tuple[str, str]) -> tuple[Array, Array]:
    """Droop and band of the control by pressure that asks for the least stroke."""
    out, inlet = (view.p(port) for port in ends)
    wishes = asked(part, view, out, inlet)
    least = np.minimum.reduce([np.broadcast_to(w, (view.variants,)) for w in wishes.values()])
    droop, band = np.full(view.variants, np.nan), np.full(view.variants, np.nan)
    names = {"on cut-off": "compensator"}
    if part.choices.get("control") in DIFFERENCE:
        names |= {"on margin": "margin", "on remote pressure": "margin"}
    for word, name in names.items():
        if word in wishes:
            width = np.asarray(view.value(f"{name} band"))
            holds = (wishes[word] <= least) & (wishes[word] < 1.0)
            droop = np.where(holds, np.maximum(wishes[word] * width, 0.0), droop)
            band = np.where(holds, width, band)
    return droop, band
