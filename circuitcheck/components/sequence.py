"""Sequence valve: opens to a second function when the first has reached its pressure."""

from __future__ import annotations

from functools import partial

import numpy as np

from circuitcheck.components import _pressure_valves
from circuitcheck.components._common import (
    SEAT_LEAK,
    free_flow_check,
    one_way_capacity,
    pressure_data,
    rated_flow,
    rated_one_way,
)
from circuitcheck.components._parts import (
    Choice,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
)
from circuitcheck.components._trade import ADJUSTS
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net

BANDS = {"direct": 5.0 * BAR, "piloted": 2.0 * BAR}
"""From opening to full opening [Pa]; common practice, no source."""

PILOT_FLOW = 0.5 * L_MIN
"""Flow of the pilot stage while it works [m3/s]; common practice, no source."""


def ports(part: Part) -> tuple[Port, ...]:
    found = [Port("P", PortKind.PRESSURE, "inlet"), Port("A", PortKind.WORK, "outlet")]
    if part.says("remote pilot"):
        found.append(Port("X", PortKind.PILOT, "pilot"))
    if not part.says("internal drain"):
        found.append(Port("Y", PortKind.DRAIN, "drain of the spring chamber"))
    return tuple(found)


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    build = part.choices.get("build", "direct")
    found = {"band": (BANDS[build], "5 bar direct, 2 bar piloted; common practice, no source")}
    if build == "piloted":
        found["pilot flow"] = (PILOT_FLOW, "0.3 to 1 L/min; common practice, no source")
    return found


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    found = part.figures.get("pilot flow")
    if found and found.origin == "given" and part.choices.get("build") == "direct":
        return [
            (
                "pilot flow",
                f"{part.name} is direct, and has no pilot stage that could take {found.text}",
                "leave it out, or write 'piloted'",
            )
        ]
    return []


def equations(part: Part, net: Net) -> None:
    pilot = "X" if part.says("remote pilot") else "P"
    drain = "A" if part.says("internal drain") else "Y"
    opened_by = {pilot: 1.0, drain: -1.0}
    setting, band = np.asarray(net.value("set")), np.asarray(net.value("band"))
    k = rated_one_way(net)
    net.modulated(
        "seat",
        "P",
        "A",
        k=k,
        opened_by=opened_by,
        offset=-setting,
        band=band,
        leak=SEAT_LEAK,
    )
    if part.says("piloted"):
        net.modulated(
            "pilot",
            pilot,
            drain,
            k=one_way_capacity(net, net.value("pilot flow"), setting),
            opened_by=opened_by,
            offset=band - setting,
            band=band,
        )
    if part.says("free-flow check"):
        free_flow_check(net, "check", "A", "P", k)


KINDS = (
    Kind(
        word="sequence",
        other_words=("sequence valve",),
        text="Opens P to A when the pressure at P (with a remote pilot, at X) passes the setting "
        "and the pressure of its spring chamber, drained to Y or, with an internal drain, to A.",
        ports=ports,
        parameters=(
            Parameter(
                "set",
                "pressure",
                "bar",
                "pressure at which it opens",
                needed=True,
                least=0.1 * BAR,
                most=2000 * BAR,
            ),
            rated_flow(60.0, 5.0),
            Parameter(
                "band",
                "pressure",
                "bar",
                "from opening to full opening",
                least=1e4,
                most=200 * BAR,
            ),
            Parameter(
                "pilot flow",
                "flow",
                "L/min",
                "flow of the pilot stage at the setting",
                least=1e-3 * L_MIN,
                most=10 * L_MIN,
            ),
            *pressure_data(),
            *ADJUSTS,
        ),
        choices=(
            Choice("build", ("direct", "piloted"), default="direct"),
            Choice("pilot", ("internal pilot", "remote pilot")),
            Choice("drain", ("external drain", "internal drain")),
            Choice("reverse", ("free-flow check",)),
        ),
        through=("P", "A"),
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=partial(_pressure_valves.results, "P", "A"),
        state=_pressure_valves.state,
        measures=_pressure_valves.MEASURES,
        law_text=(
            "P to A: q = k y root(dp), y = (p(pilot) - p(drain) - set)/band, between 0 and 1",
            "free-flow check A to P where said",
        ),
        sources=(
            "opening worked by the inlet pressure, flow forces in its band; textbook form, "
            "from memory",
            "a pilot stage takes oil from a band below the setting on; common practice",
        ),
    ),
)
