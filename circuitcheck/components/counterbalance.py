"""Counterbalance valve: holds a load, lets it down under pilot pressure, free flow up."""

from __future__ import annotations

from circuitcheck.components import _load_holding
from circuitcheck.components._common import pressure_data, rated_flow
from circuitcheck.components._parts import (
    Figures,
    Kind,
    Part,
    Port,
    PortKind,
    Result,
    fixed_ports,
)
from circuitcheck.components._trade import ADJUSTS
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View


def equations(part: Part, net: Net) -> None:
    _load_holding.element(part, net, "", "V", "C", "X")


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": -view.q("V"),
        "pressure": view.p("C"),
        "drop": view.p("C") - view.p("V"),
        "pilot pressure": view.p("X"),
    }


def state(part: Part, view: View) -> list[str]:
    return view.words(_load_holding.word_of(view, ""))


KINDS = (
    Kind(
        word="counterbalance",
        other_words=("counterbalance valve",),
        text="Holds the load at C; load and pilot pressure open it to V; free flow V to C. "
        "Pressure at V holds it shut, less so with a balanced relief part, not at all with a "
        "vented spring chamber.",
        ports=fixed_ports(
            Port("V", PortKind.WORK, "valve side"),
            Port("C", PortKind.WORK, "load side"),
            Port("X", PortKind.PILOT, "pilot"),
        ),
        parameters=(*_load_holding.PARAMETERS, rated_flow(60.0, 8.0), *pressure_data(), *ADJUSTS),
        choices=(_load_holding.SPRING_CHAMBER,),
        through=("V", "C"),
        mistakes=_load_holding.mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow out of the valve side"),
            Result("pressure", "pressure", "load-side pressure"),
            Result("drop", "pressure", "load side over valve side"),
            Result("pilot pressure", "pressure", "pressure at X"),
        ),
        law_text=(
            "opens at load + ratio x pilot = setting + (1 + ratio) x back pressure "
            "(relieving and pilot pistons of one poppet)",
            "q = k y root(dp), y between 0 and 1 over its override",
            "free flow V to C over a check",
        ),
        sources=_load_holding.SOURCES,
    ),
)
