"""Relief valve: lets oil to its outlet above a set pressure."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import SEAT_LEAK, WHOLE, one_way_capacity, pressure_rating
from circuitcheck.components._parts import (
    Choice,
    Figures,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
    Result,
    fixed_ports,
)
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

OVERRIDE = {"direct": 0.10, "piloted": 0.05}
"""Cracking to setting as a share of the setting; from memory."""


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    share = OVERRIDE[part.choices.get("build", "piloted")]
    return {"override": (share, "10 % direct, 5 % piloted; from memory")}


def cracking(value_of: Net | View) -> Array:
    """Pressure at which the valve begins to open [Pa]."""
    given = value_of.value_of("cracks")
    setting: Value = value_of.value("set")
    if given is not None:
        return np.asarray(given, dtype=float)
    crack: Array = np.asarray(setting) * (1.0 - np.asarray(value_of.value("override")))
    return crack


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    crack, setting = part.figures.get("cracks"), part.figures.get("set")
    if crack and setting and crack.value >= setting.value:
        return [
            (
                "cracks",
                f"{part.name} cracks at {crack.text}, not below its setting {setting.text}",
                "the setting holds at rated flow; cracking comes first",
            )
        ]
    return []


def equations(part: Part, net: Net) -> None:
    setting = np.asarray(net.value("set"))
    crack = cracking(net)
    net.modulated(
        "seat",
        "P",
        "T",
        k=one_way_capacity(net, net.value("flow"), setting, WHOLE),
        opened_by={"P": 1.0, "T": -1.0},
        offset=-crack,
        band=setting - crack,
        leak=SEAT_LEAK,
    )


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": view.element("seat"),
        "pressure": view.p("P"),
        "drop": view.p("P") - view.p("T"),
        "cracking": np.broadcast_to(cracking(view), (view.variants,)),
    }


def state(part: Part, view: View) -> list[str]:
    opening = view.element("seat", "opening")
    return view.words(
        lambda i: "closed" if opening[i] <= 0.0 else "fully open" if opening[i] > 0.98 else "open"
    )


KINDS = (
    Kind(
        word="relief",
        text="Relief valve; the setting is the pressure at rated flow, it cracks below. Pressure "
        "at its outlet adds to the setting.",
        ports=fixed_ports(
            Port("P", PortKind.PRESSURE, "inlet"), Port("T", PortKind.RETURN, "outlet")
        ),
        parameters=(
            Parameter(
                "set",
                "pressure",
                "bar",
                "setting, at rated flow",
                needed=True,
                least=0.1 * BAR,
                most=2000 * BAR,
            ),
            Parameter(
                "flow", "flow", "L/min", "rated flow", default=100 * L_MIN, bare=True, least=1e-8
            ),
            Parameter(
                "cracks", "pressure", "bar", "pressure at which it begins to open", least=0.05 * BAR
            ),
            Parameter(
                "override",
                "share",
                "%",
                "cracking to setting, share of the setting",
                least=0.002,
                most=0.6,
            ),
            pressure_rating(),
        ),
        choices=(
            Choice("build", ("direct", "piloted"), default="piloted"),
            Choice("adjusting", ("sealed", "adjustable")),
        ),
        through=("P", "T"),
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow to the outlet"),
            Result("pressure", "pressure", "pressure at the inlet"),
            Result("drop", "pressure", "inlet over outlet"),
            Result("cracking", "pressure", "pressure at which it begins to open"),
        ),
        sources=(
            "straight override line between cracking and setting; textbook form, from memory",
        ),
    ),
)
