"""Compensators of load-sensing sections: before the spool, or behind it and sharing flow."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _spools
from circuitcheck.components._common import (
    SEAT_LEAK,
    WHOLE,
    capacity,
    circle,
    one_way_capacity,
)
from circuitcheck.components._parts import Part
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array

BAND = 2.0 * BAR
"""From shut to open of the compensator before the spool [Pa]; common practice, no source."""

SHARING_BAND = 0.5 * BAR
"""The same behind the spool [Pa]; own choice. It is what sections can differ by."""

SIGNAL_BAND = 0.2 * BAR
"""From shut to open of the check to the common signal [Pa]; own choice, as in shuttles."""

WIDER = 4.0
"""Edges that only direct the oil behind the compensator, over the metering edge; own choice."""

NO_LIMIT = 1e9
"""Limit of a port that has none [Pa]: never reached."""


def limits(net: Net) -> Array:
    """Pressure limit in each variant, that of the port which is fed [Pa]."""
    common = net.value_of("limit")
    found = np.full(net.variants, NO_LIMIT)
    for name in ("a", "b"):
        own = net.value_of(f"limit {name.upper()}")
        limit = own if own is not None else common
        if limit is not None:
            found = np.where(net.travel(name) > 0.0, np.asarray(limit), found)
    return found


def _signal_bore(net: Net) -> Array:
    bore: Array = circle(net.value("pick-up")) * 0.62 * np.sqrt(2.0 / net.oil.rho)
    return bore


def before(part: Part, net: Net, spool: _spools.Spool, leak: Array) -> Array:
    """Compensator before the spool, own signal with its limit; gives k of an edge."""
    spring, flow = np.asarray(net.value("spring")), np.asarray(net.value("flow"))
    metered = net.inner("metered")
    k = capacity(net, flow, spring)
    # the set drop stands where the compensator is half open, as its margin is measured
    net.modulated(
        "compensator",
        "P",
        metered,
        k=one_way_capacity(net, 2.0 * flow, spring),
        opened_by={metered: -1.0, "LS": 1.0},
        offset=spring + 0.5 * BAND,
        band=BAND,
        leak=SEAT_LEAK,
    )
    for end, name in (("A", "a"), ("B", "b")):
        net.orifice(f"P-{end}", metered, end, k * spool.opening([name]), leak)
    taken, vented = _spools.picked_up(part, spool)
    bore = _signal_bore(net)
    for letter, open_ in taken.items():
        net.orifice(f"signal {letter}", letter, "LS", bore * open_)
    net.orifice("vent", "LS", "T", bore * vented, SEAT_LEAK)
    limit = limits(net)
    if np.any(limit < NO_LIMIT):
        crack = 0.95 * limit
        net.modulated(
            "limit",
            "LS",
            "T",
            k=one_way_capacity(net, 5.0 * L_MIN, limit, WHOLE),
            opened_by={"LS": 1.0, "T": -1.0},
            offset=-crack,
            band=limit - crack,
        )
    return k


def sharing(part: Part, net: Net, spool: _spools.Spool, leak: Array) -> Array:
    """Compensator behind the metering edge, against the common signal; gives k of an edge."""
    spring, flow = np.asarray(net.value("spring")), np.asarray(net.value("flow"))
    metered, sent = net.inner("metered"), net.inner("sent")
    drop = np.asarray(net.value("margin")) - spring - 0.5 * SHARING_BAND
    k = capacity(net, flow, np.maximum(drop, 1e4))
    net.orifice("edge", "P", metered, k * spool.opening(["a", "b"]), leak)
    wide = one_way_capacity(net, 2.0 * flow, np.maximum(spring, BAR))
    net.modulated(
        "compensator",
        metered,
        sent,
        k=wide,
        opened_by={metered: 1.0, "LS": -1.0},
        offset=-spring,
        band=SHARING_BAND,
        leak=SEAT_LEAK,
    )
    for end, name in (("A", "a"), ("B", "b")):
        net.orifice(f"P-{end}", sent, end, WIDER * k * spool.opening([name]), leak)
    taken, _ = _spools.picked_up(part, spool)
    shifted = np.sum(list(taken.values()), axis=0)
    net.modulated(
        "signal",
        sent,
        "LS",
        k=_signal_bore(net) * shifted,
        opened_by={sent: 1.0, "LS": -1.0},
        offset=0.0,
        band=SIGNAL_BAND,
    )
    # the common line is relieved all the time, as no single section may vent it
    net.orifice("vent", "LS", "T", capacity(net, net.value("bleed"), 100 * BAR), SEAT_LEAK)
    return k
