"""Oil heater: brings heat in, and takes a little pressure."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    STAGNANT,
    THROUGH,
    both_ways_resistor,
    pressure_data,
    rated_flow,
)
from circuitcheck.components._parts import Figures, Kind, Parameter, Part, Result, fixed_ports
from circuitcheck.laws.net import Bools, Net
from circuitcheck.laws.view import View

SURFACE = 1.5e4
"""Highest heat a surface gives without cracking the oil [W/m2]; 1.5 W/cm2, 0.7 for cold,
thick oil: common practice, no source."""


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    power, surface = part.figures.get("power"), part.figures.get("surface")
    if power and surface and power.value > SURFACE * surface.value:
        return [
            (
                "surface",
                f"{part.name} gives {power.value / surface.value / 1e4:.2g} W/cm2; oil cracks "
                "above 1.5",
                "more surface or less power (common practice, no source)",
            )
        ]
    return []


def heats(view: View) -> Bools:
    """Whether it is on: not switched off, and the oil colder than it is set for."""
    setting = view.value_of("set")
    cold = view.oil.degC < np.asarray(np.inf if setting is None else setting)
    found: Bools = cold & ~view.said("off")
    return found


def equations(part: Part, net: Net) -> None:
    both_ways_resistor(net, "body", "in", "out", 0.5)


def warms(part: Part, view: View) -> Figures:
    return np.where(heats(view), view.value("power"), 0.0)


def results(part: Part, view: View) -> dict[str, Figures]:
    power = warms(part, view)
    runs = np.abs(view.q("in")) > STAGNANT
    flow = np.where(runs, np.abs(view.q("in")), np.nan)
    rise = power / (flow * view.oil.rho * view.oil.specific_heat)
    return {
        "flow": view.q("in"),
        "drop": view.p("in") - view.p("out"),
        "power": power,
        "oil out": view.oil.degC + rise,
    }


def state(part: Part, view: View) -> list[str]:
    on = heats(view)
    return view.words(lambda i: "heating" if on[i] else "off")


KINDS = (
    Kind(
        word="heater",
        text="Oil heater; on unless a step says 'off' or the oil is as warm as it is set. Its "
        "power counts as brought in, and as lost to heat.",
        ports=fixed_ports(*THROUGH),
        parameters=(
            Parameter("power", "power", "kW", "heat", bare=True, needed=True, least=1.0, most=1e7),
            Parameter(
                "set", "temperature", "degC", "oil at which it goes off", least=-60.0, most=120.0
            ),
            Parameter("surface", "area", "cm2", "heated surface", least=1e-5),
            rated_flow(60.0, 0.2),
            *pressure_data(),
        ),
        poses=("off",),
        through=("in", "out"),
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        warms=warms,
        measures=(
            Result("flow", "flow", "flow"),
            Result("drop", "pressure", "drop"),
            Result("power", "power", "heat given to the oil"),
            Result("oil out", "temperature", "oil behind it"),
        ),
        law_text=(
            "dp = r1 q + r2 q^2 through rated flow at rated drop",
            "oil out = oil + power/(flow x density x specific heat)",
        ),
        sources=("1.5 W/cm2 at the surface: common practice, no source",),
    ),
)
