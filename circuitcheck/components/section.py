"""Load-sensing valve section: compensator before the spool, signal, own pressure limit."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _spools
from circuitcheck.components._common import (
    SEAT_LEAK,
    WHOLE,
    capacity,
    circle,
    one_way_capacity,
    pressure_rating,
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
    fixed_ports,
)
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

BAND = 2.0 * BAR
"""From shut to open of the compensator [Pa]; common practice, no source."""

SPOOLS = {
    "closed centre": (),
    "float centre": (("A", "B", "T"),),
}


def positions(part: Part) -> dict[str, tuple[tuple[str, ...], ...]]:
    centre = SPOOLS[part.choices.get("centre", "closed centre")]
    found = {"a": _spools.FOUR_WAY_A, "centre": centre, "b": _spools.FOUR_WAY_B}
    return {**found, **part.spool}


def equations(part: Part, net: Net) -> None:
    spring, flow = np.asarray(net.value("spring")), np.asarray(net.value("flow"))
    metered = net.inner("metered")
    wide = one_way_capacity(net, 2.0 * flow, spring)
    k = capacity(net, flow, spring)
    leak = np.asarray(net.value("leakage")) / np.asarray(net.value("leakage pressure"))
    # the set drop is reached when the compensator is all but shut
    net.modulated(
        "compensator",
        "P",
        metered,
        k=wide,
        opened_by={metered: -1.0, "LS": 1.0},
        offset=spring,
        band=BAND,
        leak=SEAT_LEAK,
    )
    for end, name, other in (("A", "a", "b"), ("B", "b", "a")):
        net.orifice(f"P-{end}", metered, end, k * net.travel(name), leak)
        to_tank = [other] + [n for n, j in part.positions.items() if n == "centre" and j]
        net.orifice(f"{end}-T", end, "T", k * _spools.opening(net, to_tank), leak)
    pick_up = circle(net.value("pick-up")) * 0.62 * np.sqrt(2.0 / net.oil.rho)
    for end, name in (("A", "a"), ("B", "b")):
        shifted = (net.travel(name) > 0.0).astype(float)
        net.orifice(f"signal {end}", end, "LS", pick_up * shifted)
    vented = (net.travel("centre") > 0.0).astype(float)
    net.orifice("vent", "LS", "T", pick_up * vented, SEAT_LEAK)
    limit = net.value_of("limit")
    if limit is not None:
        crack = 0.95 * np.asarray(limit)
        net.modulated(
            "limit",
            "LS",
            "T",
            k=one_way_capacity(net, 5.0 * L_MIN, limit, WHOLE),
            opened_by={"LS": 1.0, "T": -1.0},
            offset=-crack,
            band=np.asarray(limit) - crack,
        )


def results(part: Part, view: View) -> dict[str, Figures]:
    metered = np.maximum(np.abs(view.element("P-A")), np.abs(view.element("P-B")))
    return {
        "flow": metered,
        "pressure": view.p("LS"),
        "margin": view.p("P") - view.p("LS"),
        "drop": view.p("P") - np.maximum(view.p("A"), view.p("B")),
    }


def state(part: Part, view: View) -> list[str]:
    opening = view.element("compensator", "opening")
    relieving = view.element("limit", "opening") > 0.0

    def word(i: int) -> str:
        place = f"at {view.position[i]}"
        if view.position[i] == "centre":
            return place
        if relieving[i]:
            return f"{place}, at its limit"
        return f"{place}, short of flow" if opening[i] > 0.98 else f"{place}, metering"

    return view.words(word)


KINDS = (
    Kind(
        word="section",
        text="Proportional section of a load-sensing bank with its pressure compensator "
        "before the spool; its signal is vented to tank at centre.",
        ports=fixed_ports(
            Port("P", PortKind.PRESSURE, "supply"),
            Port("T", PortKind.RETURN, "to tank"),
            Port("A", PortKind.WORK, "work port A"),
            Port("B", PortKind.WORK, "work port B"),
            Port("LS", PortKind.SENSE, "load signal"),
        ),
        parameters=(
            Parameter(
                "flow", "flow", "L/min", "flow at full travel", bare=True, needed=True, least=1e-8
            ),
            Parameter(
                "spring",
                "pressure",
                "bar",
                "drop that the compensator keeps",
                default=7 * BAR,
                least=1e4,
            ),
            Parameter("limit", "pressure", "bar", "pressure limit of the section", least=1e5),
            Parameter(
                "pick-up", "length", "mm", "bore of the signal orifice", default=0.8e-3, least=1e-4
            ),
            Parameter(
                "leakage",
                "flow",
                "L/min",
                "leakage over each shut edge",
                default=0.02 * L_MIN,
                least=0.0,
                at=Parameter(
                    "leakage pressure",
                    "pressure",
                    "bar",
                    "pressure of that leakage",
                    default=100 * BAR,
                    least=1e5,
                ),
            ),
            pressure_rating(),
        ),
        choices=(
            Choice("centre", tuple(SPOOLS), default="closed centre"),
            Choice(
                "actuation",
                ("lever", "solenoids a and b", "proportional", "pilot operated", "spring centred"),
                many=True,
            ),
        ),
        positions=positions,
        rest=_spools.rest,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "metered flow"),
            Result("pressure", "pressure", "load signal"),
            Result("margin", "pressure", "supply over load signal"),
            Result("drop", "pressure", "supply over work port"),
        ),
        sources=("compensator keeps the drop over the spool; textbook form, from memory",),
    ),
)
