"""Hand pump: oil per stroke, strokes a minute, force on the lever."""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.components._common import NU_RATED, SEAT_LEAK, pressure_data
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
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

HEAVY = 400.0
"""Force on the lever above which it is called heavy [N]; common practice, no source."""


def _rate(part: Part, of: Net | View) -> Array:
    """Strokes a second; both ways of the lever count in a double-acting pump."""
    single = of.order_of("at", 0.0)
    return single * (2.0 if part.says("double acting") else 1.0)


def equations(part: Part, net: Net) -> None:
    full = np.asarray(net.value("displacement")) / (2.0 * math.pi)
    shaft = net.own_shaft(float(np.max(full)))
    net.pin(shaft, 2.0 * math.pi * _rate(part, net))
    lost = 1.0 / np.asarray(net.value("mechanical")) - 1.0
    net.rotary("unit", "P", "S", shaft, full=full, rub=lost * full)
    slip = net.value_of("slip")
    if slip is not None:
        thin = NU_RATED / net.oil.nu
        net.gap("slip", "P", "S", slip / np.asarray(net.value("slip pressure")) * thin)
    # its checks hold the oil while the lever stands
    net.gap("checks", "P", "S", SEAT_LEAK)
    net.void("void", "S")


def results(part: Part, view: View) -> dict[str, Figures]:
    speed = view.speed_of(part.name)
    torque = view.element("unit", "torque")
    work = torque * 2.0 * math.pi
    found = {
        "flow": -view.q("P"),
        "pressure": view.p("P"),
        "power": torque * speed,
        "work": np.where(speed > 0.0, work, 0.0),
        "strokes": _rate(part, view),
    }
    travel = view.value_of("travel")
    if travel is not None:
        found["lever force"] = found["work"] / np.asarray(travel)
    return found


def state(part: Part, view: View) -> list[str]:
    rate, empty = _rate(part, view), view.element("void") > 0.0
    force = results(part, view).get("lever force", np.zeros(view.variants))

    def word(i: int) -> str:
        if empty[i]:
            return "cavitates"
        if rate[i] == 0.0:
            return "at rest"
        return "heavy" if force[i] > HEAVY else "pumping"

    return view.words(word)


KINDS = (
    Kind(
        word="hand pump",
        text="Pump worked by a lever; a step says how many strokes a minute, for example "
        "'HP1 at 30 spm'. At rest its checks hold the oil.",
        ports=fixed_ports(
            Port("S", PortKind.SUCTION, "inlet"),
            Port("P", PortKind.PRESSURE, "outlet"),
        ),
        parameters=(
            Parameter(
                "displacement",
                "volume",
                "cm3",
                "oil moved a stroke",
                bare=True,
                needed=True,
                least=1e-8,
                most=1e-2,
            ),
            Parameter("travel", "length", "mm", "way of the hand a stroke", least=0.05, most=3.0),
            Parameter(
                "mechanical",
                "share",
                "%",
                "mechanical efficiency, lever included",
                default=0.85,
                least=0.05,
                most=1.0,
            ),
            Parameter(
                "slip",
                "flow",
                "L/min",
                "leakage back to the inlet",
                least=0.0,
                at=Parameter(
                    "slip pressure",
                    "pressure",
                    "bar",
                    "pressure of that leakage",
                    default=100 * BAR,
                    least=1.0,
                ),
            ),
            *pressure_data(),
        ),
        choices=(Choice("action", ("single acting", "double acting"), default="single acting"),),
        orders=(
            Parameter(
                "at", "frequency", "spm", "strokes to and fro in this time", least=0.0, most=5.0
            ),
        ),
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "mean delivery"),
            Result("pressure", "pressure", "outlet pressure"),
            Result("power", "power", "power of the hand"),
            Result("work", "energy", "work of a stroke that delivers"),
            Result("strokes", "frequency", "delivering strokes"),
            Result("lever force", "force", "mean force of the hand"),
        ),
        law_text=(
            "q = volume of a stroke x strokes in a time",
            "mean force = p x volume of a stroke/(travel of the hand x efficiency)",
        ),
        sources=("q = V strokes, force = p V/(travel x efficiency); closed form",),
    ),
)
