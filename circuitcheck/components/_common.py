"""Figures and small helpers that several kinds share."""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.components._parts import Parameter, Part, Port, PortKind
from circuitcheck.components._trade import PORTS, SEALS
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.passages import LAMINAR_START
from circuitcheck.laws.smoothing import EXACT, Array

RHO_RATED = 870.0
"""Density at which rated flows are taken to be measured [kg/m3]; common practice."""

NU_RATED = 32e-6
"""Viscosity at which rated figures are taken to be measured [m2/s]; common practice, the
usual test oil is ISO VG 32 at 40 degC."""

SEAT_LEAK = 1e-6 * L_MIN / BAR
"""Leakage of a seat valve [m3/(s Pa)]: 1e-6 L/min per bar, common practice, no source."""

FREE_FLOW_BAND = 0.5 * BAR
"""From cracking to full opening of a free-flow check [Pa]; common practice, no source."""


STAGNANT = 1e-2 * L_MIN
"""Flow under which oil stands in a cooler or heater and a temperature behind it means
nothing [m3/s]; own choice."""


def capacity(net: Net, flow: Value, drop: Value, opening: Value = 1.0) -> Array:
    """k of an orifice that passes ``flow`` at ``drop`` with oil of 870 kg/m3.

    ``opening`` is the share to which it stands open there. The straight start of the law
    is taken into account, so that the rated flow is met at small drops too.
    """
    start = (1.0 + (LAMINAR_START / np.asarray(drop)) ** 2) ** 0.25
    k = np.asarray(flow) / np.asarray(opening) / np.sqrt(np.asarray(drop)) * start
    scaled: Array = np.asarray(k * np.sqrt(RHO_RATED / net.oil.rho), dtype=float)
    return scaled


def one_way_capacity(net: Net, flow: Value, drop: Value, opening: Value = 1.0) -> Array:
    """k of a modulated opening, as `capacity`; its start is less steep, one way only."""
    start = (1.0 + (LAMINAR_START / np.asarray(drop)) ** 2) ** 0.5
    return capacity(net, flow, drop, opening) * start


def rated(net: Net) -> Array:
    """k of an orifice from the part's ``flow`` at ``drop``."""
    return capacity(net, net.value("flow"), net.value("drop"))


def rated_one_way(net: Net) -> Array:
    """k of a modulated opening, fully open, from the part's ``flow`` at ``drop``."""
    return one_way_capacity(net, net.value("flow"), net.value("drop"))


WHOLE = 1.0 - 0.25 * EXACT.e
"""Opening at the end of the band, where its corner is rounded."""


def check_band(net: Net) -> Array:
    """Band of a check, narrowed where its rated drop lies within it, so that it is met."""
    left = np.asarray(net.value("drop")) - np.asarray(net.value("cracking"))
    band: Array = np.minimum(np.asarray(net.value("band")), np.maximum(left / 1.05, 1e3))
    return band


def check_mistakes(part: Part) -> list[tuple[str, str, str]]:
    """A check cannot pass its rated flow at less than the drop that opens it."""
    drop, crack = part.figures["drop"], part.figures["cracking"]
    if part.given("drop") and drop.value <= crack.value:
        return [
            (
                "drop",
                f"{part.name} is rated at {drop.text}, but opens only at {crack.text}",
                "the drop at rated flow is more than the cracking pressure",
            )
        ]
    return []


def circle(diameter: Value) -> Array:
    """Area of a circle [m2]."""
    area: Array = 0.25 * math.pi * np.asarray(diameter, dtype=float) ** 2
    return area


def both_ways_resistor(net: Net, name: str, a: str, b: str, viscous: float) -> None:
    """Resistor through the part's ``flow`` at ``drop``, a share of it viscous.

    The viscous share grows with viscosity, the rest with density; the drop holds at
    32 mm2/s and 870 kg/m3.
    """
    flow, drop = np.asarray(net.value("flow")), np.asarray(net.value("drop"))
    r1 = viscous * drop / flow * net.oil.nu / NU_RATED
    r2 = (1.0 - viscous) * drop / flow**2 * net.oil.rho / RHO_RATED
    net.resistor(name, a, b, r1, r2)


def free_flow_check(net: Net, name: str, a: str, b: str, k: Value) -> None:
    """Check from a to b inside a valve, cracking at 0.3 bar (common practice)."""
    net.modulated(
        name,
        a,
        b,
        k=k,
        opened_by={a: 1.0, b: -1.0},
        offset=-0.3 * BAR,
        band=FREE_FLOW_BAND,
        leak=SEAT_LEAK,
    )


def rated_flow(flow: float, drop: float, text: str = "rated flow of the part") -> Parameter:
    """Parameter "60 L/min at 6 bar" with its defaults in L/min and bar."""
    at = Parameter(
        "drop", "pressure", "bar", "drop at the rated flow", default=drop * BAR, least=1.0
    )
    return Parameter(
        "flow", "flow", "L/min", text, default=flow * L_MIN, bare=True, at=at, least=1e-9
    )


def pressure_data() -> tuple[Parameter, ...]:
    """Parameter "rated 250 bar", the highest working pressure, and what is bought with it."""
    rated = Parameter("rated", "pressure", "bar", "highest working pressure", least=1.0)
    return rated, SEALS, PORTS


THROUGH = (
    Port("in", PortKind.THROUGH, "inlet"),
    Port("out", PortKind.THROUGH, "outlet"),
)
