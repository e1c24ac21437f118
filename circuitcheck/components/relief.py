"""Relief valve: lets oil to its outlet above a set pressure."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _two_stage
from circuitcheck.components._common import SEAT_LEAK, WHOLE, one_way_capacity, pressure_data
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
from circuitcheck.components._trade import ADJUSTS
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

OVERRIDE = {"direct": 0.10, "piloted": 0.05}
"""Cracking to setting as a share of the setting; from memory."""

LOWEST = 5.0 * BAR
"""Setting of a proportional valve without a command [Pa]; common practice, no source."""

VENTED = 8.0 * BAR
"""Inlet pressure of a vented valve at rated flow [Pa]; common practice, no source."""


def has_stages(part: Part) -> bool:
    """Whether both stages are computed: something is joined to the pilot stage."""
    return part.says("remote port") or part.says("external drain")


def ports(part: Part) -> tuple[Port, ...]:
    found = [Port("P", PortKind.PRESSURE, "inlet"), Port("T", PortKind.RETURN, "outlet")]
    if part.says("remote port"):
        found.append(Port("X", PortKind.PILOT, "chamber of the pilot stage", needed=False))
    if part.says("external drain"):
        found.append(Port("Y", PortKind.DRAIN, "drain of the pilot stage"))
    return tuple(found)


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    share = OVERRIDE[part.choices.get("build", "piloted")]
    found = {"override": (share, "10 % direct, 5 % piloted; from memory")}
    if part.says("proportional"):
        found["lowest"] = (LOWEST, "common practice, no source")
    if has_stages(part):
        found |= _two_stage.USUAL
        found["vented"] = (VENTED, "common practice, no source")
    return found


def setting(of: Net | View) -> Array:
    """Setting in every step [Pa]: as ordered, else as given; never under its lowest."""
    ordered = of.order_of("set", of.value("set"))
    lowest = of.value_of("lowest")
    return ordered if lowest is None else np.maximum(ordered, np.asarray(lowest))


def main_drop(of: Net | View) -> Array:
    """Drop over the control orifice at rated flow [Pa]."""
    opening = np.sqrt(np.asarray(of.value("vented")) / setting(of))
    drop: Array = np.asarray(of.value("spring")) + _two_stage.MAIN_BAND * np.minimum(opening, 1.0)
    return drop


def cracking(part: Part, of: Net | View) -> Array:
    """Pressure at which the valve begins to open [Pa]."""
    if has_stages(part):
        return _stage(of).cracks
    given, wanted = of.value_of("cracks"), setting(of)
    if given is None:
        crack: Array = wanted * (1.0 - np.asarray(of.value("override")))
        return crack
    # turned to another setting, the valve keeps the share
    share: Array = np.asarray(given) / np.asarray(of.value("set"))
    return wanted * share


def _stage(of: Net | View) -> _two_stage.PilotStage:
    given: Value | None = of.value_of("cracks")
    share = of.value("override")
    if given is not None:
        share = 1.0 - np.asarray(given) / np.asarray(of.value("set"))
    return _two_stage.pilot_setting(of, setting(of), main_drop(of), share)


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    found = []
    crack, at = part.figures.get("cracks"), part.figures.get("set")
    if crack and at and crack.value >= at.value:
        found.append(
            (
                "cracks",
                f"{part.name} cracks at {crack.text}, not below its setting {at.text}",
                "the setting holds at rated flow; cracking comes first",
            )
        )
    if has_stages(part) and part.choices.get("build") == "direct":
        found.append(
            (
                "build",
                f"{part.name} is direct, and has no pilot stage to join anything to",
                "a remote port or an external drain belongs to a piloted relief",
            )
        )
    if not has_stages(part):
        return found + _two_stage.strays(part, "vented", "spring", "pilot flow")
    spring, vented = part.figures.get("spring"), part.figures.get("vented")
    if spring and at and at.value < spring.value + _two_stage.MAIN_BAND:
        found.append(
            (
                "set",
                f"{part.name} is set to {at.text}, not above the spring of its main stage",
                f"that spring is {spring.text}; the least setting is some 2 bar above it",
            )
        )
    if spring and vented and vented.value < spring.value + _two_stage.MAIN_BAND:
        found.append(
            (
                "vented",
                f"{part.name} cannot pass its rated flow at {vented.text}",
                f"the spring of its main stage is {spring.text}; it is fully open 1.5 bar above",
            )
        )
    return found


def equations(part: Part, net: Net) -> None:
    wanted, flow = setting(net), net.value("flow")
    if not has_stages(part):
        crack = cracking(part, net)
        net.modulated(
            "seat",
            "P",
            "T",
            k=one_way_capacity(net, flow, wanted, WHOLE),
            opened_by={"P": 1.0, "T": -1.0},
            offset=-crack,
            band=wanted - crack,
            leak=SEAT_LEAK,
        )
        return
    middle = _two_stage.chamber(net)
    drain = "Y" if part.says("external drain") else "T"
    net.modulated(
        "seat",
        "P",
        "T",
        k=one_way_capacity(net, flow, net.value("vented"), WHOLE),
        opened_by={"P": 1.0, middle: -1.0},
        offset=-np.asarray(net.value("spring")),
        band=_two_stage.MAIN_BAND,
        leak=SEAT_LEAK,
    )
    _two_stage.pilot_stage(net, "P", middle, drain, _stage(net), main_drop(net))


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": view.element("seat"),
        "pressure": view.p("P"),
        "drop": view.p("P") - view.p("T"),
        "cracking": np.broadcast_to(cracking(part, view), (view.variants,)),
        "pilot flow": view.element("control orifice"),
    }


def state(part: Part, view: View) -> list[str]:
    opening, pilot = view.element("seat", "opening"), view.element("pilot", "opening")
    staged = has_stages(part)

    def word(i: int) -> str:
        if opening[i] <= 0.0:
            return "closed"
        if staged and pilot[i] <= 0.0:
            return "open, held by port X"
        return "fully open" if opening[i] > 0.98 else "open"

    return view.words(word)


SET = Parameter(
    "set",
    "pressure",
    "bar",
    "setting, at rated flow",
    needed=True,
    least=0.1 * BAR,
    most=2000 * BAR,
)

KINDS = (
    Kind(
        word="relief",
        text="Relief valve; the setting is the pressure at rated flow, it cracks below. Pressure "
        "at its outlet adds to the setting. With a remote port both stages are computed: what "
        "holds X lower than the pilot stage sets the pressure, X joined to tank vents the valve.",
        ports=ports,
        parameters=(
            SET,
            Parameter(
                "flow", "flow", "L/min", "rated flow", default=100 * L_MIN, bare=True, least=1e-8
            ),
            Parameter(
                "cracks", "pressure", "bar", "pressure at which it begins to open", least=0.05 * BAR
            ),
            Parameter(
                "override",
                "share",
                "%",
                "cracking to setting, share of the setting",
                least=0.002,
                most=0.6,
            ),
            Parameter(
                "lowest",
                "pressure",
                "bar",
                "setting of a proportional valve without a command",
                least=0.1 * BAR,
                most=100 * BAR,
            ),
            Parameter(
                "vented",
                "pressure",
                "bar",
                "inlet pressure at rated flow with port X vented",
                least=0.5 * BAR,
                most=100 * BAR,
            ),
            *_two_stage.PARAMETERS,
            *pressure_data(),
            *ADJUSTS,
        ),
        choices=(
            Choice("build", ("direct", "piloted"), default="piloted"),
            Choice("adjusting", ("sealed", "adjustable", "proportional")),
            Choice("pilot port", ("remote port",)),
            Choice("pilot drain", ("external drain",)),
        ),
        orders=(
            Parameter(
                "set",
                "pressure",
                "bar",
                "setting in this step: command of a proportional valve",
                least=0.0,
                most=2000 * BAR,
            ),
        ),
        through=("P", "T"),
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow to the outlet"),
            Result("pressure", "pressure", "pressure at the inlet"),
            Result("drop", "pressure", "inlet over outlet"),
            Result("cracking", "pressure", "pressure at which it begins to open"),
            Result("pilot flow", "flow", "flow through the control orifice"),
        ),
        law_text=(
            "q = k y root(dp), k so that rated flow passes at the setting",
            "y = (p(P) - p(T) - cracking)/(setting - cracking), between 0 and 1",
            "with a remote port: main stage opened by the drop over its control orifice "
            "against the spring, pilot stage at the setting",
        ),
        sources=(
            "straight override line between cracking and setting, flow forces in it; textbook "
            "form, from memory",
            "two stages: force balance of the main stage over the control orifice; flow forces "
            "are left out; textbook form, from memory",
        ),
    ),
)
