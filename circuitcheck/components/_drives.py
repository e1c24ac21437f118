"""What electric motor and engine share: a rated point, results, the load over the cycle."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._parts import Choice, Figures, Parameter, Part, Result, Starts
from circuitcheck.components._trade import COUPLING
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

SHAFT_SCALE = 1e-6
"""Displacement that scales a drive's shaft until a pump brings its own [m3/rad]."""

PARAMETERS = (
    Parameter("power", "power", "kW", "rated power", bare=True, least=1.0),
    Parameter(
        "speed", "rotation", "rpm", "speed at rated power", bare=True, needed=True, least=0.1
    ),
    Parameter(
        "droop",
        "share",
        "%",
        "fall of speed from no load to rated torque",
        least=0.0,
        most=0.5,
        source="speed held unless given; common practice, no source",
    ),
    Parameter("flange", "code", "", "mounting flange, SAE J744 code"),
    Parameter("shaft", "code", "", "shaft end, SAE J744 code"),
    COUPLING,
)

ROTATION = Choice("rotation", ("clockwise", "anticlockwise"))

ORDERS = (Parameter("at", "rotation", "rpm", "speed in this step", least=0.0),)

MEASURES = (
    Result("speed", "rotation", "shaft speed"),
    Result("torque", "torque", "torque given to the shaft"),
    Result("power", "power", "power given to the shaft"),
    Result("rms power", "power", "root mean square of the power over the cycle"),
    Result("load share", "share", "torque over the rated torque"),
)


LEAST_DROOP = 1e-3
"""A droop under this is none: no governor is so fine; common practice, no source."""


def droop_mistakes(part: Part) -> list[tuple[str, str, str]]:
    """A drive holds its speed, or lets it fall by an amount that can be told."""
    droop = part.figures.get("droop")
    if droop is None or not 0.0 < droop.value < LEAST_DROOP:
        return []
    message = f"the droop of {part.name} ({droop.text}) is less than {LEAST_DROOP * 100:g} %"
    return [("droop", message, "write droop 0 % for a speed that is held")]


def rated_torque(of: Net | View) -> Array | None:
    """Torque at rated power and speed [N m]; None where no power is given."""
    power = of.value_of("power")
    return None if power is None else np.asarray(power) / np.asarray(of.value("speed"))


def governed(net: Net, shaft: int, **curve: Array) -> None:
    """Write a speed that is held, or falls in a straight line with torque."""
    speed = net.order("at", net.value("speed"))
    droop, torque = np.asarray(net.value("droop")), rated_torque(net)
    if torque is None or not np.any(droop > 0.0):
        net.pin(shaft, speed)
        return
    fall = np.maximum(droop * speed, 1e-9)
    net.slip("governor", shaft, speed + fall, stiffness=torque / fall, **curve)


def starts(part: Part, view: View, idle: Array, pull_out: Array) -> tuple[Starts, ...]:
    """Start a drive at idle speed or at none; under its pull-out speed it is in doubt."""
    idle = np.broadcast_to(idle, (view.variants,)).astype(float)
    return (
        Starts(
            at="",
            natural=idle,
            second=np.zeros(view.variants),
            doubt=view.speed_of(part.name) < pull_out,
            worth=idle > 0.0,
            words=("from its idle speed", "from a standstill"),
        ),
    )


def torque_of(part: Part, view: View) -> Array:
    """Torque that the drive gives to its shaft [N m]."""
    return view.reaction_of(part.name) + view.element("governor", "torque")


def mean_square(view: View, value: Array) -> Array:
    """Root mean square over the cycle, by the durations of the steps; same shape."""
    time = view.by_step(view.duration)
    if not np.all(time > 0.0):
        return np.full_like(value, np.nan)
    mean = np.sum(view.by_step(value) ** 2 * time, axis=0) / np.sum(time, axis=0)
    root: Array = np.tile(np.sqrt(mean), len(time))
    return root


def results(part: Part, view: View) -> dict[str, Figures]:
    speed, torque = view.speed_of(part.name), torque_of(part, view)
    found = {"speed": speed, "torque": torque, "power": torque * speed}
    found["rms power"] = mean_square(view, torque * speed)
    rated = rated_torque(view)
    if rated is not None:
        found["load share"] = torque / rated
    return found


def state(part: Part, view: View) -> list[str]:
    power = view.value_of("power")
    given = torque_of(part, view) * view.speed_of(part.name)
    limit = np.broadcast_to(np.inf if power is None else np.asarray(power), given.shape)

    def word(i: int) -> str:
        if given[i] < -1e-3:
            return "driven by the load"
        return "overloaded" if given[i] > limit[i] * 1.001 else "running"

    return view.words(word)
