"""Reducing valve: keeps the pressure behind it at its setting, relieving above or not."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _pressure_valves, _two_stage
from circuitcheck.components._common import (
    SEAT_LEAK,
    free_flow_check,
    pressure_data,
    rated_flow,
    rated_one_way,
)
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
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

BANDS = {"direct": 4.0 * BAR, "piloted": 2.0 * BAR}
"""From shut to fully open [Pa]; 3 to 5 bar direct, common practice, no source."""

DRAINS = {"direct": 0.05 * L_MIN, "piloted": 0.8 * L_MIN}
"""Oil that the drain takes at the setting [m3/s]; common practice, no source."""

PILOT_OVERRIDE = 0.03
"""Cracking to setting of the pilot stage, as a share; 2 to 5 %, common practice, no source."""


def has_two_ports(part: Part) -> bool:
    return part.says("not relieving")


def drain_port(part: Part) -> str:
    return "Y" if has_two_ports(part) else "T"


def ports(part: Part) -> tuple[Port, ...]:
    found = [
        Port("P", PortKind.PRESSURE, "inlet"),
        Port("A", PortKind.WORK, "reduced pressure"),
        Port("Y", PortKind.DRAIN, "drain of the spring chamber")
        if has_two_ports(part)
        else Port("T", PortKind.RETURN, "drain and relief"),
    ]
    if part.says("remote port"):
        found.append(Port("X", PortKind.PILOT, "chamber of the pilot stage", needed=False))
    return tuple(found)


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    build = part.choices.get("build", "direct")
    found = {
        "band": (BANDS[build], "4 bar direct, 2 bar piloted; common practice, no source"),
    }
    if part.says("remote port"):
        return found | _two_stage.USUAL
    found["drain"] = (
        DRAINS[build],
        "0.05 L/min direct, 0.8 L/min piloted; common practice, no source",
    )
    return found


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    found = []
    if part.says("remote port") and part.choices.get("build") == "direct":
        found.append(
            (
                "build",
                f"{part.name} is direct, and has no pilot stage to join anything to",
                "a remote port belongs to a piloted reducing valve: write 'piloted'",
            )
        )
    spring, at = part.figures.get("spring"), part.figures.get("set")
    if not part.says("remote port"):
        found += _two_stage.strays(part, "spring", "pilot flow")
    elif spring and at and at.value <= spring.value + _two_stage.LEAST_PILOT:
        found.append(
            (
                "set",
                f"{part.name} is set to {at.text}, not above the spring of its main stage",
                f"that spring is {spring.text}; its pilot stage needs the rest",
            )
        )
    if has_two_ports(part) and part.given("gap"):
        found.append(
            (
                "gap",
                f"{part.name} is not relieving, so no gap to relieving can be given",
                "leave 'gap' or 'not relieving' out",
            )
        )
    return found


def setting(of: Net | View) -> Array:
    """Reduced pressure at no flow in every step [Pa]: as ordered, else as given."""
    return of.order_of("set", of.value("set"))


def equations(part: Part, net: Net) -> None:
    if part.says("remote port"):
        _two_stages(part, net)
    else:
        _one_stage(part, net)
    if part.says("free-flow check"):
        free_flow_check(net, "check", "A", "P", rated_one_way(net))


def _one_stage(part: Part, net: Net) -> None:
    drain, wanted, band = drain_port(part), setting(net), np.asarray(net.value("band"))
    net.modulated(
        "seat",
        "P",
        "A",
        k=rated_one_way(net),
        opened_by={"A": -1.0, drain: 1.0},
        offset=wanted,
        band=band,
        leak=SEAT_LEAK,
    )
    bleed = np.asarray(net.value("drain")) / np.asarray(net.value("set"))
    if has_two_ports(part):
        net.gap("drain", "A", drain, bleed)
        return
    net.modulated(
        "relieving",
        "A",
        drain,
        k=rated_one_way(net),
        opened_by={"A": 1.0, drain: -1.0},
        offset=-wanted - np.asarray(net.value("gap")),
        band=band,
        leak=bleed,
    )


def _two_stages(part: Part, net: Net) -> None:
    """The main stage shuts by the drop over the control orifice, which the pilot makes."""
    drain, middle = drain_port(part), _two_stage.chamber(net)
    spring, band = np.asarray(net.value("spring")), np.asarray(net.value("band"))
    stage = _two_stage.pilot_setting(net, setting(net), spring, PILOT_OVERRIDE)
    net.modulated(
        "seat",
        "P",
        "A",
        k=rated_one_way(net),
        opened_by={"A": -1.0, middle: 1.0},
        offset=spring,
        band=band,
        leak=SEAT_LEAK,
    )
    _two_stage.pilot_stage(net, "A", middle, drain, stage, spring)
    if has_two_ports(part):
        return
    net.modulated(
        "relieving",
        "A",
        drain,
        k=rated_one_way(net),
        opened_by={"A": 1.0, middle: -1.0},
        offset=-spring - np.asarray(net.value("gap")),
        band=band,
        leak=SEAT_LEAK,
    )


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": view.element("seat"),
        "drop": view.p("P") - view.p("A"),
        "pressure": view.p("A"),
        "drain flow": -view.q(drain_port(part)),
    }


def state(part: Part, view: View) -> list[str]:
    opening, back = view.element("seat", "opening"), view.element("relieving", "opening")

    def word(i: int) -> str:
        if back[i] > 0.0:
            return "relieving"
        return "closed" if opening[i] <= 0.0 else "open" if opening[i] > 0.98 else "regulating"

    return view.words(word)


KINDS = (
    Kind(
        word="reducing valve",
        text="Keeps A at its setting above T; shut at the setting, relieving a gap above it. One "
        "that is not relieving has two ports and a drain Y. With a remote port both stages are "
        "computed, and what holds X lower sets the pressure.",
        ports=ports,
        parameters=(
            Parameter(
                "set",
                "pressure",
                "bar",
                "reduced pressure, at no flow",
                needed=True,
                least=0.1 * BAR,
                most=2000 * BAR,
            ),
            rated_flow(40.0, 10.0),
            Parameter(
                "band", "pressure", "bar", "from shut to fully open", least=1e4, most=100 * BAR
            ),
            Parameter(
                "drain",
                "flow",
                "L/min",
                "oil that the drain takes at the setting",
                least=1e-9,
                most=20 * L_MIN,
            ),
            Parameter(
                "gap",
                "pressure",
                "bar",
                "setting to relieving",
                default=3 * BAR,
                least=0.0,
                most=200 * BAR,
            ),
            *_two_stage.PARAMETERS,
            *pressure_data(),
            *ADJUSTS,
        ),
        choices=(
            Choice("build", ("direct", "piloted")),
            Choice("relieving", ("relieving", "not relieving")),
            Choice("adjusting", ("sealed", "adjustable", "proportional")),
            Choice("pilot port", ("remote port",)),
            Choice("reverse", ("free-flow check",)),
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
        through=("P", "A"),
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            *_pressure_valves.MEASURES,
            Result("pressure", "pressure", "reduced pressure"),
            Result("drain flow", "flow", "flow to the drain"),
        ),
        law_text=(
            "P to A: q = k y root(dp), y falls from 1 to 0 over a band below the setting of p(A)",
            "A to T opens above the setting where it relieves",
            "with a remote port: main stage over a pilot stage",
        ),
        sources=(
            "opening worked by the outlet pressure, flow forces in its band; textbook form, "
            "from memory",
            "two stages: force balance of the main stage over the control orifice; textbook "
            "form, from memory",
        ),
    ),
)
