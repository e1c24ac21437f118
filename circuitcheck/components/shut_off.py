"""Shut-off valve, worked by hand."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import SEAT_LEAK, THROUGH, pressure_data, rated, rated_flow
from circuitcheck.components._parts import Choice, Figures, Kind, Part, Result, fixed_ports
from circuitcheck.components._trade import LOCK
from circuitcheck.laws.net import Bools, Net
from circuitcheck.laws.view import View


def is_open(part: Part, view: Net | View) -> Bools:
    """Whether it stands open in each variant."""
    if part.says("normally closed"):
        opened: Bools = view.said("open")
        return opened
    shut: Bools = ~view.said("closed")
    return shut


def equations(part: Part, net: Net) -> None:
    net.orifice("ball", "in", "out", rated(net) * is_open(part, net), SEAT_LEAK)


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"flow": view.q("in"), "drop": view.p("in") - view.p("out")}


def state(part: Part, view: View) -> list[str]:
    opened = np.asarray(is_open(part, view))
    return view.words(lambda i: "open" if opened[i] else "closed")


KINDS = (
    Kind(
        word="shut-off",
        other_words=("shut-off valve", "ball valve"),
        text="Shut-off valve; open unless it is said to be normally closed or closed in a step.",
        ports=fixed_ports(*THROUGH),
        parameters=(rated_flow(100.0, 0.5), *pressure_data()),
        choices=(
            LOCK,
            Choice("position", ("normally open", "normally closed", "locked open")),
            Choice("watch", ("position switch",)),
        ),
        poses=("open", "closed"),
        through=("in", "out"),
        equations=equations,
        results=results,
        state=state,
        measures=(Result("flow", "flow", "flow"), Result("drop", "pressure", "drop")),
        law_text=("open: q = k root(dp), k from rated flow at rated drop; shut: leakage",),
        sources=("orifice law; textbook form, from memory",),
    ),
)
