"""The element of counterbalance and brake valves: relief part, pilot part, check.

Force balance: load + ratio x pilot = setting + factor x back pressure. The factor is 1 + ratio
for the standard build, ratio where the relief part is balanced, 0 where the spring chamber is
vented to the air.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from circuitcheck.components._common import SEAT_LEAK, free_flow_check, rated_one_way
from circuitcheck.components._parts import Choice, Parameter, Part
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

CHECK_OPEN = 1e-3
"""Opening of the check under which only a trickle passes it."""

SPRING_CHAMBER = Choice("spring chamber", ("standard", "vented", "balanced"))

PARAMETERS = (
    Parameter(
        "set",
        "pressure",
        "bar",
        "load pressure that opens it without pilot",
        needed=True,
        least=0.1 * BAR,
        most=2000 * BAR,
    ),
    Parameter("pilot", "ratio", "", "pilot ratio", default=3.0, least=0.0, most=50.0),
    Parameter(
        "back factor",
        "ratio",
        "",
        "bar added to the setting for every bar at the valve side, from the maker's sheet",
        least=0.0,
        most=51.0,
    ),
    Parameter(
        "band",
        "pressure",
        "bar",
        "from opening to full opening",
        default=20 * BAR,
        least=1e4,
        most=400 * BAR,
    ),
)

SOURCES = (
    "load + ratio x pilot = setting + (1 + ratio) x back pressure: textbook, from memory",
    "balanced relief part: back pressure counts by the pilot ratio only; common practice",
)


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    said = part.choices.get("spring chamber")
    if said is not None and part.given("back factor"):
        factor = part.figures["back factor"]
        return [
            (
                "back factor",
                f"{part.name} is said to be {said}, which settles its back factor",
                f"leave out '{said}' or the factor {factor.text}",
            )
        ]
    return []


def back_factor(part: Part, net: Net) -> Array:
    """Bar added to the setting for every bar of back pressure."""
    given, ratio = net.value_of("back factor"), np.asarray(net.value("pilot"), dtype=float)
    if given is not None:
        return np.asarray(given, dtype=float)
    if part.says("vented"):
        return np.zeros_like(ratio)
    factor: Array = ratio if part.says("balanced") else 1.0 + ratio
    return factor


def element(part: Part, net: Net, side: str, valve: str, load: str, pilot: str) -> None:
    """Write one load-holding element; ``side`` tells it from its twin."""
    k, ratio = rated_one_way(net), np.asarray(net.value("pilot"))
    net.modulated(
        f"seat{side}",
        load,
        valve,
        k=k,
        opened_by={load: 1.0, pilot: ratio, valve: -back_factor(part, net)},
        offset=-np.asarray(net.value("set")),
        band=net.value("band"),
        leak=SEAT_LEAK,
    )
    free_flow_check(net, f"check{side}", valve, load, k)


def word_of(view: View, side: str, working: str = "lowering") -> Callable[[int], str]:
    """Trade word for what an element does, by variant; ``working`` while it meters."""
    opening = view.element(f"seat{side}", "opening")
    up = view.element(f"check{side}", "opening")

    def word(i: int) -> str:
        if up[i] > CHECK_OPEN:
            return "check open"
        return "closed" if opening[i] <= 0.0 else "fully open" if opening[i] > 0.98 else working

    return word
