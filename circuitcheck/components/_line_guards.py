"""What guards the lines of an actuator: a relief over a port, a check that feeds it."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import SEAT_LEAK, WHOLE, one_way_capacity
from circuitcheck.components._parts import Parameter, Part
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net

OVERRIDE = 0.10
"""Cracking to setting of these direct reliefs, as a share; from memory."""

FEED_BAND = 0.3 * BAR
"""From cracking to full opening of an anti-cavitation check [Pa]; common practice."""

TRICKLE = 1e-3
"""Opening of a check under which it only makes up for leakage; own choice."""

FLOW = Parameter(
    "flow", "flow", "L/min", "rated flow", default=60 * L_MIN, bare=True, least=1e-3 * L_MIN
)

SET = Parameter(
    "set",
    "pressure",
    "bar",
    "setting of the reliefs, at rated flow",
    needed=True,
    least=0.1 * BAR,
    most=2000 * BAR,
)

RELIEF_OVERRIDE = Parameter(
    "override",
    "share",
    "%",
    "cracking to setting, share of the setting",
    default=OVERRIDE,
    least=0.002,
    most=0.6,
    source="10 % of a direct relief; from memory",
)

FEED = (
    Parameter(
        "feed drop",
        "pressure",
        "bar",
        "drop of an anti-cavitation check at rated flow",
        least=0.05 * BAR,
        most=50 * BAR,
    ),
    Parameter(
        "feed cracking",
        "pressure",
        "bar",
        "drop at which such a check opens",
        least=0.0,
        most=20 * BAR,
    ),
)

FEED_USUAL = {
    "feed drop": (1.0 * BAR, "common practice, no source"),
    "feed cracking": (0.05 * BAR, "common practice, no source"),
}
"""What anti-cavitation checks have where the text says nothing, as `Kind.assumes`."""


def relief(net: Net, name: str, inlet: str, outlet: str, figure: str = "set") -> None:
    """Write a direct relief from ``inlet`` to ``outlet``, set by a figure of the part."""
    setting = np.asarray(net.value(figure))
    crack = setting * (1.0 - np.asarray(net.value("override")))
    net.modulated(
        name,
        inlet,
        outlet,
        k=one_way_capacity(net, net.value("flow"), setting, WHOLE),
        opened_by={inlet: 1.0, outlet: -1.0},
        offset=-crack,
        band=setting - crack,
        leak=SEAT_LEAK,
    )


def feed(net: Net, name: str, tank: str, line: str) -> None:
    """Write an anti-cavitation check from ``tank`` to ``line``."""
    drop, crack = np.asarray(net.value("feed drop")), np.asarray(net.value("feed cracking"))
    band = np.minimum(FEED_BAND, np.maximum((drop - crack) / 1.05, 1e3))
    net.modulated(
        name,
        tank,
        line,
        k=one_way_capacity(net, net.value("flow"), drop),
        opened_by={tank: 1.0, line: -1.0},
        offset=-crack,
        band=band,
        leak=SEAT_LEAK,
    )


def feed_mistakes(part: Part) -> list[tuple[str, str, str]]:
    """A check cannot pass its rated flow at less than the drop that opens it."""
    drop, crack = part.figures.get("feed drop"), part.figures.get("feed cracking")
    if drop is None or crack is None or drop.value > crack.value:
        return []
    return [
        (
            "feed drop",
            f"the anti-cavitation checks of {part.name} are rated at {drop.text}, but open only "
            f"at {crack.text}",
            "'feed drop' is more than 'feed cracking'",
        )
    ]
