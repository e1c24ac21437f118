"""Electric motor: speed held or falling, or an induction motor by its poles and breakdown."""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.components import _drives, _duty
from circuitcheck.components._drives import SHAFT_SCALE, rated_torque
from circuitcheck.components._parts import (
    Choice,
    Figures,
    Kind,
    Parameter,
    Part,
    Result,
    Starts,
    fixed_ports,
)
from circuitcheck.components._trade import LOCK
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

MOST_SLIP = 0.25
"""Rated slip above which the poles and the rated speed do not belong together; own choice."""


def synchronous(frequency: float, poles: float) -> float:
    """Synchronous speed [rad/s]: frequency over pole pairs."""
    return 2.0 * math.pi * frequency / (0.5 * poles)


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    found = {"droop": (0.0, "speed held unless given; common practice, no source")}
    if part.given("poles"):
        found["frequency"] = (50.0, "common practice, no source")
        found["breakdown"] = (2.5, "2.2 to 3 times the rated torque; common practice, no source")
    if part.says("S3") or part.says("S6"):
        found["duty factor"] = (0.4, "40 % is the usual one; common practice, no source")
    return found


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    poles, speed = part.figure("poles"), part.figure("speed")
    flat = _drives.droop_mistakes(part)
    if flat or poles is None or speed is None:
        return flat
    if poles % 2.0:
        message = f"{part.name} has {poles:g} poles; they come in pairs"
        return [("poles", message, "2, 4, 6 or 8 are usual")]
    if part.figure("power") is None:
        message = f"{part.name} has poles, but no rated power"
        return [("poles", message, "write, for example:  11 kW")]
    if part.given("droop"):
        message = f"{part.name} has poles and a droop; its slip follows from the poles"
        return [("droop", message, "take one of the two away")]
    top = synchronous(part.figure("frequency") or 50.0, poles)
    if not (1.0 - MOST_SLIP) * top <= speed < top * (1.0 - 1e-6):
        rpm = f"{top * 30.0 / math.pi:g} rpm"
        message = f"{part.name} with {poles:g} poles turns a little under {rpm}, not at its speed"
        return [("speed", message, "look at rated speed, poles and frequency")]
    return []


def slips(of: Net | View) -> tuple[Array, Array, Array]:
    """Synchronous speed, critical slip [rad/s] and breakdown torque [N m].

    A converter that runs the motor at another speed keeps its slip in rad/s (constant
    flux). Critical slip from the rated point by the formula of Kloss, from memory:
    s_b = s_r (m + sqrt(m^2 - 1)), m = breakdown over rated torque.
    """
    speed, torque = np.asarray(of.value("speed")), rated_torque(of)
    assert torque is not None
    top = 4.0 * math.pi * np.asarray(of.value("frequency")) / np.asarray(of.value("poles"))
    ratio = np.asarray(of.value("breakdown"))
    critical = (top - speed) * (ratio + np.sqrt(ratio**2 - 1.0))
    return of.order_of("at", speed) + top - speed, critical, ratio * torque


def equations(part: Part, net: Net) -> None:
    shaft = net.own_shaft(SHAFT_SCALE)
    if net.value_of("poles") is None:
        _drives.governed(net, shaft)
        return
    idle, critical, breakdown = slips(net)
    net.slip("governor", shaft, idle, critical=critical, breakdown=breakdown)


def results(part: Part, view: View) -> dict[str, Figures]:
    found = _drives.results(part, view)
    load = _duty.load(part, view)
    if load is not None:
        found["duty load"] = load
    efficiency = view.value_of("efficiency")
    if efficiency is not None:
        power = found["power"]
        share = np.asarray(efficiency)
        found["electrical power"] = np.where(power >= 0.0, power / share, power * share)
    if view.value_of("poles") is not None:
        idle, _, _ = slips(view)
        found["slip"] = (idle - found["speed"]) / np.maximum(idle, 1e-9)
    return found


def starts(part: Part, view: View) -> tuple[Starts, ...]:
    """An induction motor runs up before it is loaded; from a standstill it may not get away."""
    if view.value_of("poles") is None:
        return ()
    idle, critical, _ = slips(view)
    return _drives.starts(part, view, idle, idle - critical)


def state(part: Part, view: View) -> list[str]:
    words = _drives.state(part, view)
    if view.value_of("poles") is not None:
        idle, critical, _ = slips(view)
        beyond = np.abs(idle - view.speed_of(part.name)) > critical
        words = [
            "stalled" if pulled_out else word
            for word, pulled_out in zip(words, beyond, strict=True)
        ]
    load = results(part, view).get("duty load", np.zeros(view.variants))
    return [
        "over its duty" if word == "running" and share > 1.001 else word
        for word, share in zip(words, load, strict=True)
    ]


KINDS = (
    Kind(
        word="electric motor",
        text="Electric motor; turns pumps at its rated speed, or with the slip of an induction "
        "motor where its poles are given.",
        ports=fixed_ports(),
        parameters=(
            *_drives.PARAMETERS,
            Parameter("poles", "count", "", "poles of an induction motor", least=2.0, most=48.0),
            Parameter("frequency", "frequency", "Hz", "of the supply", least=1.0, most=400.0),
            Parameter(
                "breakdown",
                "ratio",
                "",
                "breakdown torque over rated torque",
                least=1.1,
                most=6.0,
            ),
            Parameter(
                "efficiency",
                "share",
                "%",
                "shaft power over electrical power",
                least=0.05,
                most=1.0,
            ),
            Parameter(
                "duty factor", "share", "%", "share of the cycle under load", least=0.01, most=1.0
            ),
        ),
        choices=(_drives.ROTATION, Choice("duty", _duty.DUTIES), LOCK),
        orders=_drives.ORDERS,
        drives=True,
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        starts=starts,
        cautions=_duty.cautions,
        measures=(
            *_drives.MEASURES,
            Result("duty load", "share", "rms torque over what the duty allows"),
            Result("electrical power", "power", "power taken from the supply"),
            Result("slip", "share", "speed under synchronous speed"),
        ),
        law_text=(
            "w = speed, or falling in a straight line over the droop to rated torque",
            "with poles: formula of Kloss, M/Mb = 2/(s/sb + sb/s), s = slip, b at breakdown",
            "duty load = sqrt(sum M^2 t/sum t)/(Mr sqrt(f)), f = duty factor of S3 and S6, else 1",
        ),
        sources=(
            "speed held, or straight droop line; textbook form, from memory",
            "induction motor: formula of Kloss, from memory; duties: IEC 60034-1, from memory",
        ),
    ),
)
