"""Breather: lets air into a tank and out of it, through a filter."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._parts import (
    Caution,
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
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

SLUG = "breather-unfit"

STILL = 1e-3 * L_MIN
"""Air flow under which the level counts as at rest [m3/s]; own choice."""


def air_in(view: View) -> Array:
    """Air that comes in for the oil that leaves the tank; negative where it goes out [m3/s]."""
    return view.leaving("tank") - view.arriving("tank")


def results(part: Part, view: View) -> dict[str, Figures]:
    air = air_in(view)
    found = {"air flow": air}
    rated = view.value_of("flow")
    if rated is not None:
        share = np.abs(air) / np.asarray(rated)
        found |= {"use": share, "drop": np.asarray(view.value("drop")) * share}
    return found


def state(part: Part, view: View) -> list[str]:
    air = air_in(view)
    return view.words(
        lambda i: (
            "air comes in" if air[i] > STILL else "air goes out" if air[i] < -STILL else "at rest"
        )
    )


def cautions(part: Part, view: View) -> list[tuple[Caution, ...]]:
    """Too little for the swing of the level; or open on a tank under gas."""
    air, rated = air_in(view), view.value_of("flow")
    passes = np.broadcast_to(np.inf if rated is None else rated, air.shape)
    gas = np.abs(view.p("tank")) > 0.0

    def says(i: int) -> tuple[Caution, ...]:
        found: list[Caution] = []
        if abs(air[i]) > passes[i]:
            way = "in" if air[i] > 0.0 else "out"
            message = (
                f"{abs(air[i]) / L_MIN:.0f} L/min of air go {way} through {part.name}, rated "
                f"{passes[i] / L_MIN:.0f} L/min"
            )
            found.append(Caution(SLUG, message, "a larger breather, or a second one"))
        if gas[i]:
            message = f"{part.name} is open, but its tank is at {view.p('tank')[i] / BAR:.2g} bar"
            found.append(Caution(SLUG, message, "a tank under gas pressure has no breather"))
        return tuple(found)

    return [says(i) for i in range(view.variants)]


KINDS = (
    Kind(
        word="breather",
        other_words=("air filter",),
        text="Breather with an air filter on a tank. It takes no oil and tells what air it must "
        "pass; the pressure that it holds back is not put on the oil.",
        ports=fixed_ports(Port("tank", PortKind.MEASURE, "tank it stands on")),
        parameters=(
            Parameter(
                "fineness",
                "length",
                "um",
                "fineness of its air filter",
                bare=True,
                least=1e-7,
                most=2e-3,
            ),
            Parameter(
                "flow",
                "flow",
                "L/min",
                "air that it passes",
                bare=True,
                least=1e-8,
                most=10.0,
                at=Parameter(
                    "drop",
                    "pressure",
                    "bar",
                    "drop at that air flow",
                    default=0.02 * BAR,
                    least=1.0,
                    most=1.0 * BAR,
                ),
            ),
        ),
        results=results,
        state=state,
        cautions=cautions,
        measures=(
            Result("air flow", "flow", "air that comes in for the oil that leaves"),
            Result("use", "share", "air flow over that at its rating"),
            Result("drop", "pressure", "pressure of the air that it takes"),
        ),
        law_text=(
            "air flow = oil that leaves the tank - oil that comes back",
            "dp in proportion to the air flow, through its rating",
        ),
        sources=(
            "air takes the room that oil leaves: oil and air at one pressure",
            "straight line of a paper element; 20 mbar: common practice, no source",
        ),
    ),
)
