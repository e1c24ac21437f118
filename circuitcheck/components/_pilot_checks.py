"""The element of pilot-operated checks: seat, pilot piston, decompression poppet.

Free flow: p_in - p_out > cracking. Released: ratio (p_X - p_behind) > p_out - p_in + cracking,
``behind`` being what acts on the back of the pilot piston. A decompression poppet has a ratio
of its own, larger because its seat is smaller, and lets a little oil go first.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from circuitcheck.components._common import (
    SEAT_LEAK,
    check_band,
    one_way_capacity,
    rated_one_way,
)
from circuitcheck.components._parts import Parameter, Part
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.view import View

DECOMPRESSION = (2.0 * L_MIN, "common practice, no source")
"""Flow of a decompression poppet at 100 bar [m3/s]."""

PARAMETERS = (
    Parameter(
        "ratio",
        "ratio",
        "",
        "pilot area over seat area",
        default=3.0,
        bare=True,
        least=0.1,
        most=100.0,
    ),
    Parameter(
        "cracking",
        "pressure",
        "bar",
        "drop at which it opens",
        default=0.5 * BAR,
        least=0.0,
        most=50 * BAR,
    ),
    Parameter(
        "band",
        "pressure",
        "bar",
        "from cracking to full opening",
        default=0.5 * BAR,
        least=1e3,
        most=50 * BAR,
    ),
    Parameter(
        "decompression",
        "ratio",
        "",
        "pilot area over the seat of the decompression poppet",
        least=0.2,
        most=500.0,
        source="8 to 30; common practice, no source",
    ),
    Parameter(
        "decompression flow",
        "flow",
        "L/min",
        "what that poppet passes at 100 bar",
        least=1e-3 * L_MIN,
        most=100 * L_MIN,
    ),
)

SOURCES = ("force balance of seat and pilot piston; textbook form, from memory",)


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    return {"decompression flow": DECOMPRESSION} if part.given("decompression") else {}


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    small, main = part.figures.get("decompression"), part.figures["ratio"]
    if small and small.value <= main.value:
        return [
            (
                "decompression",
                f"the decompression poppet of {part.name} ({small.text}) would not open before "
                f"its seat ({main.text})",
                "its ratio is the larger one; 8 to 30 is usual",
            )
        ]
    if small is None and part.given("decompression flow"):
        return [
            (
                "decompression flow",
                f"{part.name} has a decompression flow, but no decompression poppet",
                "give its ratio too:  decompression 15:1",
            )
        ]
    return []


def _weights(ratio: Value, valve: str, load: str, pilot: str, behind: str) -> dict[str, Value]:
    """Weights of the pressures that release a seat."""
    ratio = np.asarray(ratio, dtype=float)
    if behind == valve:
        return {load: -1.0, valve: 1.0 - ratio, pilot: ratio}
    return {load: -1.0, valve: 1.0, pilot: ratio, behind: -ratio}


def element(net: Net, side: str, valve: str, load: str, pilot: str, behind: str) -> None:
    """Write one element between its valve and its load side; ``side`` names it."""
    k, ratio = rated_one_way(net), net.value("ratio")
    crack, band = np.asarray(net.value("cracking")), check_band(net)
    net.modulated(
        f"seat{side}",
        valve,
        load,
        k=k,
        opened_by={valve: 1.0, load: -1.0},
        offset=-crack,
        band=band,
        leak=SEAT_LEAK,
    )
    net.modulated(
        f"released{side}",
        load,
        valve,
        k=k,
        opened_by=_weights(ratio, valve, load, pilot, behind),
        offset=-crack,
        band=band,
    )
    first = net.value_of("decompression")
    if first is not None:
        net.modulated(
            f"decompression{side}",
            load,
            valve,
            k=one_way_capacity(net, net.value("decompression flow"), 100 * BAR),
            opened_by=_weights(first, valve, load, pilot, behind),
            offset=-crack,
            band=band,
        )


def word_of(view: View, side: str) -> Callable[[int], str]:
    """Trade word for what an element does, by variant."""
    forward = view.element(f"seat{side}", "opening")
    back = view.element(f"released{side}", "opening")
    first = view.element(f"decompression{side}", "opening")

    def word(i: int) -> str:
        if forward[i] > 0.0:
            return "open"
        if back[i] > 0.0:
            return "released"
        return "decompressing" if first[i] > 0.0 else "seated"

    return word
