"""Gear flow divider: sections of displacement on one shaft share a flow; may intensify."""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.components._common import pressure_data
from circuitcheck.components._losses import lost_torque
from circuitcheck.components._parts import (
    Figures,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
    Result,
)
from circuitcheck.components._rotary import TEST_POINT, usual
from circuitcheck.laws._law import BAR
from circuitcheck.laws.machines import STILL_SHAFT
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

LETTERS = "ABCDEF"

VISCOUS = 2e-4 * BAR
"""Drag that is always there [Pa per rad/s on the displacement]; own choice, as in motors."""

LOSSES = ("volumetric", "mechanical", "test pressure", "test oil")


def outlets(part: Part) -> str:
    """Letters of the outlets, one per section."""
    return LETTERS[: round(part.figure("sections") or 2)]


def ports(part: Part) -> tuple[Port, ...]:
    found = [Port("P", PortKind.PRESSURE, "common inlet")]
    found += [Port(x, PortKind.WORK, f"outlet of section {x}") for x in outlets(part)]
    return tuple(found)


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    """Losses usual for gear units."""
    return usual("gear", "motor", part.figure("rated"))


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    there = outlets(part)
    for x in LETTERS:
        if part.given(f"section {x}") and x not in there:
            return [
                (
                    f"section {x}",
                    f"{part.name} has no section {x}: it has {len(there)} sections",
                    f"write, for example:  {LETTERS.index(x) + 1} sections",
                )
            ]
    return []


def displacement(part: Part, value_of: Net | View, letter: str) -> Array:
    """Displacement of one section [m3/rad]."""
    own: Value | None = value_of.value_of(f"section {letter}")
    found: Array = np.asarray(value_of.value("displacement") if own is None else own) / (
        2.0 * math.pi
    )
    return found


def equations(part: Part, net: Net) -> None:
    sizes = {x: displacement(part, net, x) for x in outlets(part)}
    shaft = net.own_shaft(float(sum(np.max(size) for size in sizes.values())))
    speed, dp = np.asarray(net.value("speed")), np.asarray(net.value("test pressure"))
    thick = net.oil.nu / np.asarray(net.value("test oil"))
    lost = 1.0 - np.asarray(net.value("mechanical"))
    slip = (1.0 / np.asarray(net.value("volumetric")) - 1.0) * speed / dp / thick
    for x, full in sizes.items():
        torque = lost_torque(full, lost, dp, speed, thick)
        torque["drag"] = np.asarray(torque["drag"]) + VISCOUS * full
        net.rotary(f"section {x}", x, "P", shaft, None, full=full, **torque)
        net.gap(f"slip {x}", "P", x, slip * full)
        net.void(f"void {x}", x)
    net.void("void P", "P")


def results(part: Part, view: View) -> dict[str, Figures]:
    speed = view.speed_of(part.name)
    there = outlets(part)
    highest = np.max([view.p(x) for x in there], axis=0)
    found = {
        "speed": np.where(np.abs(speed) <= 2.0 * STILL_SHAFT, 0.0, speed),
        "flow": view.q("P"),
        "pressure": view.p("P"),
        "rise": np.maximum(highest - view.p("P"), 0.0),
    }
    return found | {f"flow {x}": -view.q(x) for x in there}


def state(part: Part, view: View) -> list[str]:
    speed, inlet = view.speed_of(part.name), view.p("P")
    empty = view.element("void P") > 0.0
    for x in outlets(part):
        empty = empty | (view.element(f"void {x}") > 0.0)
    above = {x: view.p(x) > inlet for x in outlets(part)}

    def word(i: int) -> str:
        if empty[i]:
            return "cavitates"
        if abs(speed[i]) <= 2.0 * STILL_SHAFT:
            return "standing"
        if speed[i] < 0.0:
            return "combining"
        raised = [x for x, high in above.items() if high[i]]
        return f"dividing, pressing up {' and '.join(raised)}" if raised else "dividing"

    return view.words(word)


KINDS = (
    Kind(
        word="gear divider",
        other_words=("gear flow divider",),
        text="Gear sections on one inner shaft share the flow from P in the ratio of their "
        "displacements. A section that stands higher than the others is driven by them as a "
        "pump: its pressure can rise far above the inlet, so each outlet wants a relief "
        "valve.",
        ports=ports,
        parameters=(
            Parameter(
                "displacement",
                "displacement",
                "cc/rev",
                "displacement of each section",
                bare=True,
                needed=True,
                least=1e-9,
                most=1e-2,
            ),
            Parameter(
                "sections", "count", "", "number of sections", default=2.0, least=2.0, most=6.0
            ),
            *(
                Parameter(
                    f"section {x}",
                    "displacement",
                    "cc/rev",
                    f"displacement of section {x}, where it differs",
                    least=1e-9,
                    most=1e-2,
                )
                for x in LETTERS
            ),
            *pressure_data(),
            *(p for p in TEST_POINT if p.name in LOSSES),
            Parameter(
                "speed",
                "rotation",
                "rpm",
                "speed where the efficiencies hold",
                default=157.08,
                least=0.1,
            ),
        ),
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("speed", "rotation", "speed of the inner shaft"),
            Result("flow", "flow", "flow taken in at P"),
            Result("pressure", "pressure", "pressure at P"),
            Result("rise", "pressure", "highest outlet over the inlet"),
            *(Result(f"flow {x}", "flow", f"flow to {x}") for x in LETTERS),
        ),
        law_text=(
            "each section: q = D w + slip, slip in proportion to dp and 1/nu",
            "sum of the torques D dp less losses = 0 on the common shaft",
        ),
        sources=(
            "sections as motors and pumps on one shaft; slip laminar, torque loss of three "
            "terms: Wilson 1949, from memory",
        ),
    ),
)
