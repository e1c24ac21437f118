"""Check valve: free flow one way, shut the other."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    SEAT_LEAK,
    THROUGH,
    check_band,
    check_mistakes,
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
    Result,
    fixed_ports,
)
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

CRACKING = {"": 0.3 * BAR, "spring loaded": 0.3 * BAR, "without spring": 0.02 * BAR}
"""Drop at which a check opens where none is given [Pa]; without a spring the weight of the
ball is left; common practice, no source."""


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    crack = CRACKING[part.choices.get("spring", "")]
    return {"cracking": (crack, "0.3 bar, 0.02 bar without spring; common practice, no source")}


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    crack = part.figures["cracking"]
    if part.says("without spring") and crack.value > 0.1 * BAR:
        return [
            (
                "cracking",
                f"{part.name} has no spring, so it cannot hold until {crack.text}",
                "leave 'without spring' out, or the cracking pressure",
            )
        ]
    return check_mistakes(part)


def equations(part: Part, net: Net) -> None:
    net.modulated(
        "seat",
        "in",
        "out",
        k=rated_one_way(net),
        opened_by={"in": 1.0, "out": -1.0},
        offset=-np.asarray(net.value("cracking")),
        band=check_band(net),
        leak=SEAT_LEAK,
    )


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"flow": view.element("seat"), "drop": view.p("in") - view.p("out")}


def state(part: Part, view: View) -> list[str]:
    opening = view.element("seat", "opening")
    return view.words(lambda i: "open" if opening[i] > 0.0 else "seated")


KINDS = (
    Kind(
        word="check",
        other_words=("check valve",),
        text="Free flow from in to out.",
        ports=fixed_ports(*THROUGH),
        parameters=(
            Parameter(
                "cracking",
                "pressure",
                "bar",
                "drop at which it opens; 1 to 5 bar where it keeps a back pressure",
                bare=True,
                least=0.0,
                most=50 * BAR,
            ),
            rated_flow(60.0, 1.5),
            Parameter(
                "band",
                "pressure",
                "bar",
                "from cracking to full opening",
                default=0.5 * BAR,
                least=1e3,
                most=50 * BAR,
            ),
            *pressure_data(),
        ),
        choices=(Choice("spring", ("spring loaded", "without spring")),),
        through=("in", "out"),
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(Result("flow", "flow", "flow"), Result("drop", "pressure", "drop")),
        law_text=(
            "q = k y root(dp), k from rated flow at rated drop",
            "y = (p(in) - p(out) - cracking)/band, between 0 and 1",
        ),
        sources=("one-way opening with cracking pressure; textbook form, from memory",),
    ),
)
