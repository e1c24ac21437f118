"""Brake on the shaft of a motor: a spring applies it, oil at its port releases it."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._drives import SHAFT_SCALE
from circuitcheck.components._parts import (
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
from circuitcheck.laws.machines import STILL_SHAFT
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

BEGINS = 0.6
"""Share of the release pressure at which the plates begin to lift; own choice."""

LITTLE = 0.01
"""Share released (or left) that counts as none; the corners of the line are rounded."""

HOLDS = 1e-3
"""Torque under which a brake holds nothing [N m]: what rounding leaves of a shaft without load
would make a safety beyond all measure. Own choice."""


def begins(figures: Net | View) -> Array:
    """Pressure at which the torque begins to fall [Pa]."""
    given = figures.value_of("begins")
    if given is not None:
        return np.asarray(given, dtype=float)
    share: Array = BEGINS * np.asarray(figures.value("release"))
    return share


def capacity(figures: Net | View) -> Array:
    """Torque that it holds on the motor's shaft, none where released by hand [N m]."""
    whole = np.asarray(figures.value("torque")) / np.asarray(figures.value("ratio"))
    held: Array = np.where(figures.said("released"), 0.0, whole)
    return held


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    start, full = part.figures.get("begins"), part.figures.get("release")
    if start and full and start.value >= full.value:
        return [
            (
                "begins",
                f"{part.name} begins to lift at {start.text}, not below its release "
                f"pressure {full.text}",
                "the release pressure is that at which it is fully lifted",
            )
        ]
    return []


def equations(part: Part, net: Net) -> None:
    if not part.driven_by:
        return
    shaft = net.shaft(SHAFT_SCALE)
    port = "R"
    if not net.joined(port):
        port = net.inner("spring chamber")
        net.pin(net.ports[port], 0.0)
    net.brake(
        "plates",
        shaft,
        port,
        capacity=capacity(net),
        drag=np.asarray(net.value("drag")) / np.asarray(net.value("ratio")),
        begins=begins(net),
        released=net.value("release"),
    )


def results(part: Part, view: View) -> dict[str, Figures]:
    ratio = np.asarray(view.value("ratio"))
    off = view.element("plates", "released")
    torque = np.abs(view.element("plates", "torque")) * ratio
    left = capacity(view) * (1.0 - off) * ratio
    speed = view.speed_of(part.driven_by or part.name)
    with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
        safety = np.where((torque > HOLDS) & (left > 0.0), left / torque, np.nan)
    return {
        "torque": torque,
        "capacity": left,
        "safety": safety,
        "release pressure": view.p("R"),
        "speed": np.where(np.abs(speed) <= 2.0 * STILL_SHAFT, 0.0, speed) / ratio,
    }


def state(part: Part, view: View) -> list[str]:
    off = np.where(view.said("released"), 1.0, view.element("plates", "released"))
    speed = view.speed_of(part.driven_by or part.name)

    def word(i: int) -> str:
        if off[i] >= 1.0 - LITTLE:
            return "released"
        if abs(speed[i]) > 2.0 * STILL_SHAFT:
            return "dragging" if off[i] > LITTLE else "slipping"
        return "holding" if off[i] <= LITTLE else "partly released"

    return view.words(word)


KINDS = (
    Kind(
        word="brake",
        text="Spring-applied brake on the shaft of a motor; pressure at R releases it. Without "
        "a line at R it holds until a step says 'released' (by hand).",
        ports=fixed_ports(Port("R", PortKind.PILOT, "release", needed=False)),
        parameters=(
            Parameter(
                "torque",
                "torque",
                "Nm",
                "torque that it holds",
                bare=True,
                needed=True,
                least=1e-3,
                most=1e7,
            ),
            Parameter(
                "release",
                "pressure",
                "bar",
                "pressure at which it is fully released",
                default=20 * BAR,
                least=0.1 * BAR,
                most=1000 * BAR,
                source="15 to 30 bar is usual; common practice, no source",
            ),
            Parameter(
                "begins", "pressure", "bar", "pressure at which it begins to lift", least=1e3
            ),
            Parameter(
                "ratio",
                "ratio",
                "",
                "motor turns a turn of the brake",
                default=1.0,
                least=1e-3,
                most=1e4,
            ),
            Parameter(
                "drag",
                "torque",
                "Nm",
                "torque of the plates when released",
                default=0.0,
                least=0.0,
                most=1e6,
            ),
            Parameter("rated", "pressure", "bar", "highest pressure at R", least=1.0),
        ),
        poses=("released",),
        driven=True,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("torque", "torque", "torque that it takes up"),
            Result("capacity", "torque", "torque that it could take up in this step"),
            Result("safety", "ratio", "capacity over torque"),
            Result("release pressure", "pressure", "pressure at R"),
            Result("speed", "rotation", "speed of the brake's shaft"),
        ),
        law_text=(
            "|M| at most the capacity, all of it only while it slips",
            "capacity = torque/ratio below the lifting pressure, falling in a straight "
            "line to 0 at the release pressure",
            "drag when released",
        ),
        sources=(
            "Coulomb friction; the torque falls in a straight line between lift-off and full "
            "release, own choice",
        ),
    ),
)
