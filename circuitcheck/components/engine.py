"""Combustion engine: governed speed with droop, held under its torque curve."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _drives
from circuitcheck.components._drives import SHAFT_SCALE, rated_torque, torque_of
from circuitcheck.components._parts import (
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

POINTS = ("low", "peak", "mid")
"""Points of the torque curve, from low to high speed; the last is the rated point."""


def _point(word: str, text: str) -> Parameter:
    at = Parameter(f"{word} speed", "rotation", "rpm", f"speed of the {text}", least=0.1)
    return Parameter(f"{word} torque", "torque", "Nm", text, least=0.1, at=at)


def has_curve(part: Part) -> bool:
    return any(part.given(f"{word} torque") for word in POINTS)


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    held = (0.0, "speed held unless given; common practice, no source")
    falls = (0.05, "engine with a torque curve: 3 to 8 % is usual; common practice, no source")
    return {"droop": falls if has_curve(part) else held}


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    flat = _drives.droop_mistakes(part)
    if flat or not has_curve(part):
        return flat
    if part.figure("power") is None:
        first = next(f"{word} torque" for word in POINTS if part.given(f"{word} torque"))
        message = f"{part.name} has a torque curve, but no rated power"
        return [(first, message, "write, for example:  55 kW")]
    if part.figure("droop") == 0.0:
        message = f"{part.name} has a torque curve and no droop: its speed would be held"
        return [("droop", message, "3 to 8 % is usual; or take the curve away")]
    before = 0.0
    for word in POINTS:
        if not part.given(f"{word} torque"):
            continue
        speed = part.figure(f"{word} speed")
        if speed is None:
            message = f"'{word} torque' of {part.name} at what speed?"
            return [(f"{word} torque", message, f"write:  {word} torque 200 Nm at 1400 rpm")]
        if not before < speed < (part.figure("speed") or 0.0):
            message = f"'{word} speed' of {part.name} is out of order on its torque curve"
            return [(f"{word} speed", message, "from low to peak, mid and rated speed")]
        before = speed
    return []


def curve(part: Part, of: Net | View) -> list[tuple[Array, Array]]:
    """Points (speed [rad/s], torque [N m]) of the curve, rated point last; none without one."""
    torque = rated_torque(of)
    if torque is None or not has_curve(part):
        return []
    given = [w for w in POINTS if part.given(f"{w} torque")]
    found = [
        (np.asarray(of.value(f"{w} speed")), np.asarray(of.value(f"{w} torque"))) for w in given
    ]
    return [*found, (np.asarray(of.value("speed")), torque)]


def highest(part: Part, of: Net | View, speed: Array) -> Array:
    """Highest torque at a speed [N m], level outside the curve; infinite without one."""
    points = curve(part, of)
    if not points:
        return np.full_like(speed, np.inf)
    most = np.zeros_like(speed)
    for i, at in enumerate(speed):
        w = [float(np.broadcast_to(p, speed.shape)[i]) for p, _ in points]
        m = [float(np.broadcast_to(t, speed.shape)[i]) for _, t in points]
        most[i] = np.interp(at, w, m)
    return most


def equations(part: Part, net: Net) -> None:
    shaft = net.own_shaft(SHAFT_SCALE)
    points = curve(part, net)
    coefficients: dict[str, Array] = {}
    if points:
        # beyond the last point the curve stays level, so that the governor line decides
        while len(points) < 4:
            points.append((points[-1][0] + 1.0, points[-1][1]))
        for i, (speed, torque) in enumerate(points):
            coefficients |= {f"w{i}": speed, f"m{i}": torque}
        coefficients["top"] = np.max([np.max(torque) for _, torque in points]) + np.zeros(1)
    _drives.governed(net, shaft, **coefficients)


def starts(part: Part, view: View) -> tuple[Starts, ...]:
    """An engine runs idle before it is loaded; under the speed of its highest torque it dies."""
    points = curve(part, view)
    if not points:
        return ()
    best = points[int(np.argmax([np.max(torque) for _, torque in points]))][0]
    speed = view.order_of("at", view.value("speed"))
    idle = speed * (1.0 + np.asarray(view.value("droop")))
    return _drives.starts(part, view, idle, np.minimum(best, 0.999 * speed))


def results(part: Part, view: View) -> dict[str, Figures]:
    found = _drives.results(part, view)
    if has_curve(part):
        found["torque reserve"] = highest(part, view, found["speed"]) - found["torque"]
    return found


def state(part: Part, view: View) -> list[str]:
    words = _drives.state(part, view)
    torque, rated = torque_of(part, view), rated_torque(view)
    if rated is not None:
        holds = np.asarray(view.value("braking")) * rated
        words = [
            "driven beyond its braking" if -load > hold else word
            for word, load, hold in zip(
                words, torque, np.broadcast_to(holds, torque.shape), strict=True
            )
        ]
    if has_curve(part):
        speed = view.speed_of(part.name)
        lugs = highest(part, view, speed) - torque < 0.01 * torque
        # an engine has no torque under the lowest speed of its curve: it dies
        least = np.minimum(curve(part, view)[0][0], view.order_of("at", view.value("speed")))
        dead = lugs & (speed < 0.999 * least)
        words = [
            "stalled" if dead[i] else "lugged down" if lugs[i] else word
            for i, word in enumerate(words)
        ]
    return words


KINDS = (
    Kind(
        word="engine",
        text="Combustion engine; turns pumps at a governed speed, and falls back along its "
        "torque curve where more is asked.",
        ports=fixed_ports(),
        parameters=(
            *_drives.PARAMETERS,
            _point("low", "torque at low speed"),
            _point("peak", "highest torque"),
            _point("mid", "torque between the highest and the rated one"),
            Parameter(
                "braking",
                "share",
                "%",
                "torque that it takes when it is driven, of the rated one",
                default=0.25,
                least=0.0,
                most=1.0,
                source="20 to 30 %; common practice, no source",
            ),
        ),
        choices=(_drives.ROTATION, LOCK),
        orders=_drives.ORDERS,
        drives=True,
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        starts=starts,
        measures=(*_drives.MEASURES, Result("torque reserve", "torque", "curve over torque given")),
        law_text=(
            "w = speed, or falling in a straight line over the droop",
            "no more torque than the curve gives at that speed",
        ),
        sources=(
            "speed held, or straight droop line; textbook form, from memory",
            "torque curve of straight lines between its points; own choice",
        ),
    ),
)
