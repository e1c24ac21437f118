"""Pump, fixed or variable, with pressure, load-sensing and torque control."""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.components._common import pressure_rating
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
from circuitcheck.components._rotary import (
    CONSTRUCTIONS,
    TEST_POINT,
    lost_torque,
    split_slip,
    usual,
)
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

VARIABLE = ("pressure compensated", "load sensing", "variable")


def construction(part: Part) -> str:
    """Construction said or assumed: a fixed pump is a gear pump, a variable one a piston pump."""
    said = part.choices.get("construction")
    return said or ("gear" if part.choices.get("control", "fixed") == "fixed" else "axial piston")


def is_variable(part: Part) -> bool:
    return part.choices.get("control", "fixed") in VARIABLE


def ports(part: Part) -> tuple[Port, ...]:
    found = [
        Port("S", PortKind.SUCTION, "inlet"),
        Port("P", PortKind.PRESSURE, "outlet"),
    ]
    if part.choices.get("control") == "load sensing":
        found.append(Port("X", PortKind.SENSE, "load-sensing signal"))
    if is_variable(part) or CONSTRUCTIONS[construction(part)].to_case > 0.0:
        found.append(Port("L", PortKind.DRAIN, "case drain"))
    return tuple(found)


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    """Losses usual for the construction, and a margin where the pump senses load."""
    found = usual(construction(part), "pump", part.figure("rated"))
    if part.choices.get("control") == "load sensing":
        found["margin"] = (20.0 * BAR, "14 to 30 bar is usual; common practice, no source")
        found["margin band"] = (3.0 * BAR, "common practice, no source")
    if part.figure("compensator") is not None:
        found["compensator band"] = (
            7.0 * BAR,
            "US Army TM 5-3805-291-23-1: override from 700 kPa below 21 000 kPa",
        )
    return found


def slip_paths(net: Net, part: Part) -> tuple[Array, Array]:
    """Leakage from outlet to inlet and to case [m3/(s Pa)] at the oil's viscosity."""
    thin = np.asarray(net.value("test oil")) / net.oil.nu
    full = np.asarray(net.value("displacement")) / (2.0 * math.pi)
    lost = (1.0 - np.asarray(net.value("volumetric"))) * full * np.asarray(net.value("speed"))
    whole = lost / np.asarray(net.value("test pressure")) * thin
    return split_slip(net, whole, CONSTRUCTIONS[construction(part)].to_case)


def controls(part: Part, net: Net, full: Array) -> dict[str, Value]:
    """Coefficients of the controls that the part has."""
    found: dict[str, Value] = {"command": net.order("at", 1.0)}
    if not is_variable(part):
        return found
    cutoff = net.value_of("compensator")
    if cutoff is not None:
        found["cutoff"], found["cutoff_band"] = cutoff, net.value("compensator band")
    if part.choices["control"] == "load sensing":
        found["margin"], found["margin_band"] = net.value("margin"), net.value("margin band")
    torque, power = net.value_of("torque limit"), net.value_of("power limit")
    if power is not None:
        per_speed = np.asarray(power) / np.asarray(net.value("speed"))
        torque = per_speed if torque is None else np.minimum(torque, per_speed)
    if torque is not None:
        found["torque"] = torque
    return found


def equations(part: Part, net: Net) -> None:
    full = np.asarray(net.value("displacement")) / (2.0 * math.pi)
    shaft = net.shaft(float(np.max(full)))
    speed = np.asarray(net.value("speed"))
    if not part.driven_by:
        net.pin(shaft, speed)
    thick = net.oil.nu / np.asarray(net.value("test oil"))
    lost = 1.0 / np.asarray(net.value("mechanical")) - 1.0
    torque = lost_torque(full, lost, net.value("test pressure"), speed, thick)
    net.rotary(
        "unit",
        "P",
        "S",
        shaft,
        "X" if net.joined("X") else None,
        full=full,
        **torque,
        **controls(part, net, full),
    )
    to_inlet, to_case = slip_paths(net, part)
    net.gap("slip", "P", "S", to_inlet)
    net.gap("case slip", "P", "L", to_case)
    net.void("void", "S")


def results(part: Part, view: View) -> dict[str, Figures]:
    torque = view.element("unit", "torque")
    speed = view.speed_of(part.driven_by or part.name)
    stroke = view.element("unit", "stroke")
    flow = -view.q("P")
    power = torque * speed
    oil_power = flow * (view.p("P") - view.p("S"))
    with np.errstate(divide="ignore", invalid="ignore"):
        found = {
            "flow": flow,
            "pressure": view.p("P"),
            "speed": speed,
            "torque": torque,
            "shaft power": power,
            "power": power,
            "stroke": stroke,
            "efficiency": np.where(power > 1.0, oil_power / power, np.nan),
            "inlet pressure": view.p("S"),
        }
    if "L" in view.pressures:
        found["case drain"] = -view.q("L")
        found["case pressure"] = view.p("L")
    if "X" in view.pressures:
        found["margin"] = view.p("P") - view.p("X")
    return found


def asked(part: Part, view: View) -> dict[str, Array]:
    """Stroke fraction that each fitted control asks for, by its trade word."""
    found: dict[str, Array] = {}
    out = view.p("P")
    cutoff = view.value_of("compensator")
    if cutoff is not None and is_variable(part):
        found["on cut-off"] = (cutoff - out) / view.value("compensator band")
    if part.choices.get("control") == "load sensing":
        sensed = view.p("X") if "X" in view.pressures else view.p("S")
        found["on margin"] = (view.value("margin") - out + sensed) / view.value("margin band")
    torque, power = view.value_of("torque limit"), view.value_of("power limit")
    if power is not None:
        per_speed = np.asarray(power) / np.asarray(view.value("speed"))
        torque = per_speed if torque is None else np.minimum(torque, per_speed)
    if torque is not None and is_variable(part):
        full = np.asarray(view.value("displacement")) / (2.0 * math.pi)
        found["on torque limit"] = torque / (full * np.maximum(out - view.p("S"), BAR))
    found["at command"] = np.abs(view.order_of("at", 1.0))
    return found


def state(part: Part, view: View) -> list[str]:
    stroke = np.abs(view.element("unit", "stroke"))
    wishes = asked(part, view)

    empty = view.element("void") > 0.0

    def word(i: int) -> str:
        if empty[i]:
            return "cavitates"
        if not is_variable(part):
            return "delivering"
        if stroke[i] > 0.98:
            return "on full stroke"
        return min(wishes, key=lambda name: float(np.broadcast_to(wishes[name], stroke.shape)[i]))

    return view.words(word)


KINDS = (
    Kind(
        word="pump",
        text="Positive-displacement pump; open-circuit variable pumps stand at full stroke "
        "while there is no pressure.",
        ports=ports,
        parameters=(
            Parameter(
                "displacement",
                "displacement",
                "cc/rev",
                "oil moved a turn at full stroke",
                bare=True,
                needed=True,
                least=1e-9,
                most=1e-2,
            ),
            Parameter("speed", "rotation", "rpm", "speed, where no drive is named", bare=True),
            pressure_rating(),
            *TEST_POINT,
            Parameter("margin", "pressure", "bar", "load-sensing margin, at no flow", least=1.0),
            Parameter("margin band", "pressure", "bar", "full to no stroke", least=1e3),
            Parameter(
                "compensator",
                "pressure",
                "bar",
                "pressure cut-off, at no flow",
                least=1.0,
                source="setting = dead-head pressure; the pump begins to destroke a band below",
            ),
            Parameter(
                "compensator band",
                "pressure",
                "bar",
                "full to no stroke",
                least=1e3,
            ),
            Parameter(
                "torque limit", "torque", "Nm", "torque at which the pump destrokes", least=0.1
            ),
            Parameter("power limit", "power", "kW", "power at which the pump destrokes", least=1.0),
            Parameter("inlet limit", "pressure", "bar", "least pressure at the inlet"),
        ),
        choices=(
            Choice(
                "control",
                ("fixed", "pressure compensated", "load sensing", "variable"),
                default="fixed",
            ),
            Choice("construction", tuple(CONSTRUCTIONS)),
            Choice("rotation", ("clockwise", "anticlockwise")),
        ),
        orders=(Parameter("at", "share", "%", "displacement in this step", least=0.0, most=1.0),),
        driven=True,
        assumes=assumes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "delivery"),
            Result("pressure", "pressure", "outlet pressure"),
            Result("speed", "rotation", "shaft speed"),
            Result("torque", "torque", "shaft torque"),
            Result("shaft power", "power", "power taken from the shaft"),
            Result("power", "power", "power taken from the shaft"),
            Result("stroke", "share", "share of full displacement"),
            Result("efficiency", "share", "overall efficiency"),
            Result("inlet pressure", "pressure", "pressure at the inlet"),
            Result("case drain", "flow", "flow out of the case"),
            Result("case pressure", "pressure", "pressure in the case"),
            Result("margin", "pressure", "outlet over sensed load pressure"),
        ),
        sources=(
            "slip laminar, torque loss of three terms: Wilson 1949, from memory",
            "open-circuit pumps rest at full stroke: common practice, no source",
        ),
    ),
)
