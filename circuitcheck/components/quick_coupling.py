"""Quick coupling: joined, or parted with both halves shut."""

from __future__ import annotations

from circuitcheck.components._common import THROUGH, pressure_data, rated, rated_flow
from circuitcheck.components._parts import Choice, Figures, Kind, Part, Result, fixed_ports
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View


def equations(part: Part, net: Net) -> None:
    net.orifice("halves", "in", "out", rated(net) * ~net.said("parted"))


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"flow": view.q("in"), "drop": view.p("in") - view.p("out")}


def state(part: Part, view: View) -> list[str]:
    parted = view.said("parted")
    return view.words(lambda i: "parted" if parted[i] else "connected")


KINDS = (
    Kind(
        word="quick coupling",
        other_words=("coupling",),
        text="Quick coupling with two self-closing halves; connected unless a step says 'parted'. "
        "What it then shuts off is held at no known pressure.",
        ports=fixed_ports(*THROUGH),
        parameters=(rated_flow(40.0, 2.0), *pressure_data()),
        choices=(
            Choice(
                "halves",
                ("flat face", "poppet"),
            ),
        ),
        poses=("parted", "connected"),
        through=("in", "out"),
        equations=equations,
        results=results,
        state=state,
        measures=(Result("flow", "flow", "flow"), Result("drop", "pressure", "drop")),
        law_text=("q = k root(dp), k from rated flow at rated drop; parted: q = 0",),
        sources=("orifice law; drop of about 2 bar at rated flow, common practice, no source",),
    ),
)
