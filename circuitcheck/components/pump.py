"""Pump: fixed or variable, for open circuits and closed loops, with its controls."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _geometry, _losses, _pressed_oil, _pump_controls, _window
from circuitcheck.components._common import pressure_data
from circuitcheck.components._control_bands import MEASURES, bands
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
from circuitcheck.components._pump_controls import (
    CENTRED,
    DIFFERENCE,
    PARTNERSHIP,
    SUM,
    asked,
    controls,
    is_loop,
    is_variable,
)
from circuitcheck.components._rotary import CONSTRUCTIONS, TEST_POINT, usual
from circuitcheck.components._trade import DRAIN_PORT, SUCTION_PORT, THROUGH_DRIVE
from circuitcheck.laws.net import Net
from circuitcheck.laws.passages import LAMINAR_START
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

__all__ = ["KINDS", "construction", "is_variable", "sides"]

DISPLACEMENT = "oil moved a turn at full stroke"

CASE_PASSAGE = 1e-3 / np.sqrt(LAMINAR_START)
"""k of the open case between L1 and L [m3/(s Pa^0.5)]; own choice, so wide that both ports
stand at one pressure."""


def construction(part: Part) -> str:
    """Construction said or assumed: a fixed pump is a gear pump, a variable one a piston pump."""
    said = part.choices.get("construction")
    return said or ("axial piston" if is_variable(part) else "gear")


def sides(part: Part) -> tuple[str, str]:
    """Port from which the pump delivers at positive stroke, and the one from which it takes."""
    return ("A", "B") if is_loop(part) else ("P", "S")


def ports(part: Part) -> tuple[Port, ...]:
    if is_loop(part):
        found = [Port("A", PortKind.WORK, "side A"), Port("B", PortKind.WORK, "side B")]
    else:
        found = [
            Port("S", PortKind.SUCTION, "inlet"),
            Port("P", PortKind.PRESSURE, "outlet"),
        ]
    control = part.choices.get("control")
    if control == "load sensing":
        found.append(Port("X", PortKind.SENSE, "load-sensing signal"))
    elif control in DIFFERENCE:
        found.append(Port("X", PortKind.PILOT, "pressure of the remote pilot valve"))
    elif part.says(CENTRED):
        found.append(Port("X", PortKind.PILOT, "charge pressure"))
    if part.says(SUM):
        alone = part.partner is None
        found.append(Port("Z", PortKind.SENSE, "outlet of the partner pump", needed=alone))
    if is_variable(part) or CONSTRUCTIONS[construction(part)].to_case > 0.0:
        found.append(Port("L", PortKind.DRAIN, "case drain"))
    if is_loop(part):
        found.append(Port("L1", PortKind.DRAIN, "second case port", needed=False))
    return tuple(found)


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    """Losses usual for the construction, figures of the controls, displacement by dimensions."""
    word = construction(part)
    efficiencies = {} if part.given(_losses.TABLE) else usual(word, "pump", part.figure("rated"))
    return {
        **efficiencies,
        **_losses.assumes(part, word),
        **_geometry.assumes(part, word),
        **_pump_controls.assumes(part),
    }


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    return [
        *_geometry.mistakes(part, construction(part), DISPLACEMENT),
        *_losses.mistakes(part),
        *_window.mistakes(part),
        *_pump_controls.mistakes(part),
    ]


def equations(part: Part, net: Net) -> None:
    full = per_radian(net.value("displacement"))
    shaft = net.shaft(float(np.max(full)))
    speed = np.asarray(net.value("speed"))
    if not part.driven_by:
        net.pin(shaft, speed)
    out, inlet = sides(part)
    sensed = "X" if net.joined("X") else None
    partner = "Z" if net.joined("Z") else None
    ends = (out, inlet, shaft, sensed, partner)
    word = construction(part)
    if _losses.table_of(part) is None:
        loss = losses(part, net, word, full, speed, motor=False)
        net.rotary("unit", *ends, full=full, **loss.unit, **controls(part, net))
        net.gap("slip", out, inlet, loss.across)
        net.gap("case slip", out, "L", loss.to_case)
        if is_loop(part):
            net.gap("case slip B", inlet, "L", loss.to_case)
        if np.any(loss.turbulent > 0.0):
            net.orifice("turbulent slip", out, inlet, loss.turbulent)
    else:
        _losses.unit(part, net, ends, word, is_loop(part), full=full, **controls(part, net))
    oil = net.value_of("control oil")
    if oil is not None:
        net.gap("control oil", out, "L", oil / np.asarray(net.value("control oil pressure")))
    net.void("void", inlet)
    if is_loop(part):
        net.void("void A", out)
        net.orifice("case", "L1", "L", CASE_PASSAGE)


def results(part: Part, view: View) -> dict[str, Figures]:
    out, inlet = sides(part)
    torque = view.element("unit", "torque")
    speed = view.speed_of(part.driven_by or part.name)
    stroke = view.element("unit", "stroke")
    flow = _delivery(part, view, stroke * speed)
    power = torque * speed
    oil_power = -view.q(out) * view.p(out) - view.q(inlet) * view.p(inlet)
    if not is_loop(part):
        oil_power = flow * (view.p(out) - view.p(inlet))
    # pumping: oil power over shaft power; driven: the other way round; undefined near none
    efficiency = np.full_like(power, np.nan)
    np.divide(oil_power, power, out=efficiency, where=power > 1.0)
    np.divide(power, oil_power, out=efficiency, where=(oil_power < -1.0) & (power <= 1.0))
    found = {
        "flow": flow,
        "pressure": np.maximum(view.p(out), view.p(inlet)) if is_loop(part) else view.p(out),
        "speed": speed,
        "torque": torque,
        "through torque": torque + view.torque_behind,
        "shaft power": power,
        "power": power,
        "stroke": stroke,
        "efficiency": efficiency,
        "inlet pressure": np.minimum(view.p(out), view.p(inlet)) if is_loop(part) else view.p("S"),
    }
    if _losses.table_of(part) is not None:
        found["outside table"] = _losses.beyond(part, view, (out, inlet))
    if part.given(_pressed_oil.DEAD):
        dp = view.p(out) - view.p(inlet)
        found["compression loss"] = _pressed_oil.flow(part, view, dp, speed)
    if is_variable(part):
        found |= bands(part, view, (out, inlet), flow, speed)
    if "L" in view.pressures:
        found["case drain"] = -view.q("L") - view.q("L1")
        found["case pressure"] = view.p("L")
    if "X" in view.pressures and not is_loop(part):
        found["margin"] = view.p("P") - view.p("X")
    return found


def _delivery(part: Part, view: View, moved: Array) -> Array:
    """Flow out of the delivering port [m3/s]; what passes through where nothing is moved."""
    if not is_loop(part):
        return -view.q("P")
    measured = _losses.table_of(part) is not None
    slip = view.element("unit", "slip") if measured else view.element("slip")
    through = view.element("unit") - slip
    return np.where(moved > 0.0, -view.q("A"), np.where(moved < 0.0, -view.q("B"), through))


def cautions(part: Part, view: View) -> list[tuple[Caution, ...]]:
    return _losses.cautions(part, view, sides(part))


def state(part: Part, view: View) -> list[str]:
    stroke = np.abs(view.element("unit", "stroke"))
    out, inlet = sides(part)
    wishes = asked(part, view, view.p(out), view.p(inlet))
    empty = (view.element("void") > 0.0) | (view.element("void A") > 0.0)
    given = view.element("unit", "torque") * view.speed_of(part.driven_by or part.name)
    backward = view.order_of("at", 0.0) < 0.0
    outside = _losses.beyond(part, view, (out, inlet)) > 0.0

    def word(i: int) -> str:
        if empty[i]:
            return "cavitates"
        if backward[i] and not part.says("both ways"):
            return "cannot go over centre"
        if outside[i]:
            return _losses.OUTSIDE
        if given[i] < -1.0:
            return "driven by the load"
        if not is_variable(part):
            return "delivering"
        if is_loop(part) and stroke[i] == 0.0 and wishes["at command"][i] == 0.0:
            return "centred"
        if stroke[i] > 0.98:
            return "on full stroke"
        return min(wishes, key=lambda name: float(np.broadcast_to(wishes[name], stroke.shape)[i]))

    return view.words(word)


KINDS = (
    Kind(
        word="pump",
        text="Positive-displacement pump; open-circuit variable pumps stand at full stroke "
        "while there is no pressure, closed-loop pumps at no stroke.",
        ports=ports,
        parameters=(
            Parameter(
                "displacement",
                "displacement",
                "cc/rev",
                DISPLACEMENT,
                bare=True,
                least=1e-9,
                most=1e-2,
            ),
            Parameter(
                "speed", "rotation", "rpm", "speed, where no drive is named", bare=True, least=0.1
            ),
            *pressure_data(),
            SUCTION_PORT,
            DRAIN_PORT,
            *THROUGH_DRIVE,
            *TEST_POINT,
            *_pump_controls.PARAMETERS,
            Parameter("inlet limit", "pressure", "bar", "least pressure at the inlet"),
            *_geometry.PARAMETERS,
            *_losses.PARAMETERS,
            *_window.PARAMETERS,
        ),
        choices=(
            *_pump_controls.CHOICES,
            Choice("construction", tuple(CONSTRUCTIONS)),
            Choice("rotation", ("clockwise", "anticlockwise")),
            _losses.CHOICE,
            _window.CHOICE,
        ),
        orders=(
            Parameter(
                "at",
                "share",
                "%",
                "displacement in this step; below zero the other way round",
                least=-1.0,
                most=1.0,
            ),
        ),
        driven=True,
        partnership=PARTNERSHIP,
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        cautions=cautions,
        measures=(
            Result("flow", "flow", "delivery"),
            Result("pressure", "pressure", "outlet pressure, the higher side of a closed loop"),
            Result("speed", "rotation", "shaft speed"),
            Result("torque", "torque", "shaft torque"),
            Result("through torque", "torque", "torque at its shaft end, pumps behind included"),
            Result("shaft power", "power", "power taken from the shaft"),
            Result("power", "power", "power taken from the shaft"),
            Result("stroke", "share", "share of full displacement"),
            *MEASURES,
            Result("efficiency", "share", "overall efficiency"),
            Result("inlet pressure", "pressure", "pressure at the inlet, or lower side"),
            Result("case drain", "flow", "flow out of the case"),
            Result("case pressure", "pressure", "pressure in the case"),
            Result("compression loss", "flow", "carried back as pressed oil"),
            Result("outside table", "share", "how far outside its loss table it works"),
            Result("margin", "pressure", "outlet over sensed load pressure"),
        ),
        law_text=(
            *_losses.LAW_TEXT,
            "q = D w x stroke - slip; slip in proportion to dp and 1/nu, part of it to the case",
            "M = D dp x stroke + (share of pressure + share of speed x nu + constant): Wilson 1949",
            "stroke between 0 and 1: the least that its controls allow (pressure, margin "
            "over the load signal, torque or power)",
            "power sum of two pumps: both at stroke M/(D1 p1 + D2 p2)",
            "droop of a control by pressure: band x stroke; hysteresis: half of it to either side",
        ),
        sources=(
            "measured table: steady test as in ISO 4409, from memory; slip in proportion to "
            "pressure under its first one: own choice",
            "slip laminar, torque loss of three terms: Wilson 1949, from memory",
            "open-circuit pumps rest at full stroke: common practice, no source",
            "clearances: laminar gaps of the textbooks, from memory",
            "pressed oil: derived from dV = V dp/K; dead volume of pistons from memory",
        ),
    ),
)
