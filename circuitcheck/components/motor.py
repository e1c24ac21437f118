"""Hydraulic motor: oil turns a shaft, in either direction."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _geometry, _losses, _pressed_oil, _starting, _window
from circuitcheck.components._common import pressure_data
from circuitcheck.components._losses import losses, per_radian
from circuitcheck.components._parts import (
    Caution,
    Choice,
    Figures,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
    Result,
)
from circuitcheck.components._rotary import CONSTRUCTIONS, TEST_POINT, usual
from circuitcheck.components._trade import CRITICAL, DRAIN_PORT, NEAR_PEOPLE
from circuitcheck.laws._law import BAR
from circuitcheck.laws.machines import FASTEST_SHAFT, STILL_SHAFT
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

DISPLACEMENT = "oil taken a turn"

SIDES = ("B", "A")
"""Outlet and inlet of the unit where the motor turns the positive way."""

PUSHED = 5.0 * BAR
"""Pressure over a standing motor above which it is called stalled [Pa]; own choice."""

VISCOUS = 2e-4 * BAR
"""Drag that is always there [Pa per rad/s on the displacement]; own choice, so small that
it only settles how motors in parallel share oil."""


SLOW_FROM = 150e-6
"""Displacement a turn from which a motor of no named construction is taken for a slow radial
piston motor [m3]; common practice, no source."""


def construction(part: Part) -> str:
    """Construction said, or assumed by size."""
    said = part.choices.get("construction")
    large = (part.figure("displacement") or 0.0) > SLOW_FROM
    return said or ("radial piston" if large else "axial piston")


def ports(part: Part) -> tuple[Port, ...]:
    found = [Port("A", PortKind.WORK, "side A"), Port("B", PortKind.WORK, "side B")]
    needed = CONSTRUCTIONS[construction(part)].to_case > 0.0
    found.append(Port("L", PortKind.DRAIN, "case drain", needed=needed))
    return tuple(found)


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    """Losses usual for the construction, displacement by dimensions."""
    word = construction(part)
    efficiencies: dict[str, tuple[float, str]] = {}
    if not part.given(_losses.TABLE):
        source = f"usual for {word} motors; common practice, no source"
        efficiencies = usual(word, "motor", part.figure("rated"))
        efficiencies["speed"] = (CONSTRUCTIONS[word].speed, source)
    return {
        **efficiencies,
        **_losses.assumes(part, word),
        **_geometry.assumes(part, word),
    }


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    found = [
        *_geometry.mistakes(part, construction(part), DISPLACEMENT),
        *_losses.mistakes(part),
        *_window.mistakes(part),
        *_starting.mistakes(part),
    ]
    for name in ("least displacement",):
        if part.given(name) and not part.says("variable"):
            message = f"{part.name} is a fixed motor; '{name}' is of variable ones"
            found.append((name, message, "write  variable  or take it away"))
    return found


def command(part: Part, of: Net | View) -> Array:
    """Ordered share of the full displacement, not under the least, with its sign."""
    if not part.says("variable"):
        return np.ones(of.variants)
    ordered = of.order_of("at", 1.0)
    if not part.says("both ways"):
        ordered = np.maximum(ordered, 0.0)
    least = np.asarray(of.value("least displacement"))
    way = np.where(ordered < 0.0, -1.0, 1.0)
    taken: Array = way * np.maximum(np.abs(ordered), least)
    return taken


def equations(part: Part, net: Net) -> None:
    full = per_radian(net.value("displacement"))
    shaft = net.own_shaft(float(np.max(full)))
    word, asked = construction(part), command(part, net)
    # oil from A to B turns the shaft the positive way, so B is the outlet of the unit
    ends = ("B", "A", shaft, None, None)
    if _losses.table_of(part) is None:
        loss = losses(part, net, word, full, net.value("speed"), motor=True)
        loss.unit["drag"] = np.asarray(loss.unit.get("drag", 0.0)) + VISCOUS * full
        unit = _starting.friction(part, net, full, loss.unit)
        net.rotary("unit", *ends, full=full, command=asked, **unit)
        net.gap("slip", "A", "B", loss.across)
        net.gap("case slip A", "A", "L", loss.to_case)
        net.gap("case slip B", "B", "L", loss.to_case)
        if np.any(loss.turbulent > 0.0):
            net.orifice("turbulent slip", "A", "B", loss.turbulent)
    else:
        _losses.unit(part, net, ends, word, True, full=full, command=asked, drag=VISCOUS * full)
    resisting, steady = net.load_of("load")
    net.load("load", shaft, resisting=resisting, steady=steady)
    net.void("void A", "A", FASTEST_SHAFT * full)
    net.void("void B", "B", FASTEST_SHAFT * full)
    net.pin(shaft, 0.0, net.said("at standstill"))


def results(part: Part, view: View) -> dict[str, Figures]:
    speed = view.speed_of(part.name)
    torque = -view.element("unit", "torque")
    found = {
        "speed": np.where(np.abs(speed) <= 2.0 * STILL_SHAFT, 0.0, speed),
        "torque": torque,
        "power": torque * speed,
        "flow": np.abs(view.q("A")),
        "drop": view.p("A") - view.p("B"),
        "displacement": np.asarray(view.value("displacement")) * view.element("unit", "stroke"),
    }
    if _losses.table_of(part) is not None:
        found["outside table"] = _losses.beyond(part, view, SIDES)
    if part.given(_pressed_oil.DEAD):
        drop = view.p("A") - view.p("B")
        found["compression loss"] = _pressed_oil.flow(part, view, drop, speed)
    found |= _starting.results(part, view)
    if view.value_of("least speed") is not None:
        found["speed reserve"] = np.abs(found["speed"]) - np.asarray(view.value("least speed"))
    if "L" in view.pressures:
        found["case drain"] = -view.q("L")
        found["case pressure"] = view.p("L")
    return found


def cautions(part: Part, view: View) -> list[tuple[Caution, ...]]:
    return _losses.cautions(part, view, SIDES)


def state(part: Part, view: View) -> list[str]:
    speed = view.speed_of(part.name)
    held = view.pinned(part.name)
    empty = (view.element("void A") > 0.0) | (view.element("void B") > 0.0)
    given = -view.element("unit", "torque") * speed
    outside = _losses.beyond(part, view, SIDES) > 0.0
    pushed = np.abs(view.p("A") - view.p("B")) > PUSHED

    def word(i: int) -> str:
        if held[i]:
            return "at standstill"
        if empty[i]:
            return "cavitates"
        if abs(speed[i]) <= 2.0 * STILL_SHAFT:
            return "stalled" if pushed[i] else "standing"
        if outside[i]:
            return _losses.OUTSIDE
        if given[i] < -1.0:
            return "braking"
        return "turning" if speed[i] > 0.0 else "turning back"

    return view.words(word)


KINDS = (
    Kind(
        word="motor",
        text="Hydraulic motor; oil into A and out of B turns it the positive way.",
        ports=ports,
        parameters=(
            Parameter(
                "displacement",
                "displacement",
                "cc/rev",
                DISPLACEMENT,
                bare=True,
                least=1e-9,
                most=1e-1,
            ),
            *pressure_data(),
            DRAIN_PORT,
            *TEST_POINT,
            Parameter(
                "speed",
                "rotation",
                "rpm",
                "speed where the efficiencies hold",
                least=0.1,
            ),
            _starting.PARAMETER,
            Parameter("least speed", "rotation", "rpm", "lowest smooth speed", least=0.0),
            Parameter(
                "least displacement",
                "share",
                "%",
                "smallest displacement of a variable motor",
                default=0.0,
                least=0.0,
                most=1.0,
            ),
            *_geometry.PARAMETERS,
            *_losses.PARAMETERS,
            *_window.PARAMETERS,
        ),
        choices=(
            NEAR_PEOPLE,
            CRITICAL,
            Choice("control", ("fixed", "variable"), default="fixed"),
            Choice("directions", ("one way", "both ways")),
            Choice("construction", tuple(CONSTRUCTIONS)),
            _losses.CHOICE,
            _window.CHOICE,
        ),
        orders=(
            Parameter(
                "at",
                "share",
                "%",
                "displacement in this step; below zero it turns the other way round",
                least=-1.0,
                most=1.0,
            ),
            Parameter("load", "torque", "Nm", "torque against the motion; negative drives it"),
        ),
        poses=("overrunning", "at standstill"),
        drives=True,
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        cautions=cautions,
        latch=_starting.latch,
        measures=(
            Result("speed", "rotation", "shaft speed"),
            Result("torque", "torque", "torque on the load"),
            Result("power", "power", "power given to the load"),
            Result("flow", "flow", "flow at port A"),
            Result("drop", "pressure", "pressure A over B"),
            Result("displacement", "displacement", "oil taken a turn as it stands"),
            Result("speed reserve", "rotation", "speed over the lowest smooth one"),
            Result("compression loss", "flow", "carried to the low side as pressed oil"),
            *_starting.MEASURES,
            Result("outside table", "share", "how far outside its loss table it works"),
            Result("case drain", "flow", "flow out of the case"),
            Result("case pressure", "pressure", "pressure in the case"),
        ),
        law_text=(
            *_losses.LAW_TEXT,
            *_starting.LAW_TEXT,
            "q = D w + slip; slip in proportion to dp and 1/nu, part of it to the case",
            "M = D dp - (share of pressure + share of speed x nu + constant): Wilson 1949",
        ),
        sources=(
            "measured table: steady test as in ISO 4409, from memory; slip in proportion to "
            "pressure under its first one: own choice",
            "slip laminar, torque loss of three terms: Wilson 1949, from memory",
            "starting torque 70 to 90 % of that without losses: common practice, no source",
            "pressed oil: derived from dV = V dp/K; dead volume of pistons from memory",
        ),
    ),
)
