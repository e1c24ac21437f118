"""The pilot stage of two-stage pressure valves: a control orifice and a small relief.

Oil passes the control orifice into the chamber behind the main stage; the pilot stage
holds that chamber at its setting. The main stage opens by the drop over the orifice. A
port X on the chamber lets another valve hold it lower, or vent it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from circuitcheck.components._common import WHOLE, capacity, one_way_capacity
from circuitcheck.components._parts import Parameter, Part
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

MAIN_BAND = 1.5 * BAR
"""From shut to fully open of a main stage [Pa]; 1 to 2 bar, common practice, no source."""

LEAST_PILOT = 0.1 * BAR
"""Setting under which no pilot stage goes [Pa]; own choice."""

PARAMETERS = (
    Parameter(
        "spring",
        "pressure",
        "bar",
        "spring of the main stage",
        least=0.2 * BAR,
        most=50 * BAR,
        source="2 to 5 bar; common practice, no source",
    ),
    Parameter(
        "pilot flow",
        "flow",
        "L/min",
        "flow of the pilot stage at which the main stage begins to work",
        least=1e-3 * L_MIN,
        source="0.5 to 1.5 L/min; common practice, no source",
    ),
)

USUAL = {
    "spring": (3.0 * BAR, "2 to 5 bar; common practice, no source"),
    "pilot flow": (1.0 * L_MIN, "0.5 to 1.5 L/min; common practice, no source"),
}
"""What a two-stage valve has where its text says nothing, as `Kind.assumes`."""


@dataclass(frozen=True)
class PilotStage:
    """Chamber pressure at rated flow, pressure at which the pilot opens [Pa]."""

    rated: Array
    cracks: Array


def strays(part: Part, *names: str) -> list[tuple[str, str, str]]:
    """Mistakes for figures of stages that are not computed."""
    return [
        (
            name,
            f"'{name}' of {part.name} says something of its stages, which are not computed",
            "they are where the text says 'remote port' or 'external drain'; else leave it out",
        )
        for name in names
        if name in part.figures and part.figures[name].origin == "given"
    ]


def chamber(net: Net) -> str:
    """Give the chamber behind the main stage: port X where it is joined."""
    return "X" if net.joined("X") else net.inner("chamber")


def pilot_setting(of: Net | View, setting: Value, main: Value, override: Value) -> PilotStage:
    """Setting of the pilot stage of a valve that stands at ``setting`` at rated flow.

    ``main``: drop over the control orifice there; ``override``: cracking to setting as a
    share. All [Pa] but the share; shape (variants,).
    """
    rated = np.maximum(np.asarray(setting) - np.asarray(main), LEAST_PILOT)
    rated = np.broadcast_to(rated, (of.variants,))
    return PilotStage(rated, rated * (1.0 - np.asarray(override)))


def pilot_stage(
    net: Net, inlet: str, middle: str, drain: str, stage: PilotStage, main: Value
) -> None:
    """Write orifice and pilot stage from ``inlet`` over the chamber to ``drain``."""
    spring, flow = np.asarray(net.value("spring")), np.asarray(net.value("pilot flow"))
    net.orifice("control orifice", inlet, middle, capacity(net, flow, spring))
    most = flow * np.sqrt(np.asarray(main) / spring)
    net.modulated(
        "pilot",
        middle,
        drain,
        k=one_way_capacity(net, most, stage.rated, WHOLE),
        opened_by={middle: 1.0, drain: -1.0},
        offset=-stage.cracks,
        band=stage.rated - stage.cracks,
    )
