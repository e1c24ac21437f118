"""Pilot-operated check valve: shut against reverse flow until its pilot opens it."""

from __future__ import annotations

from circuitcheck.components import _pilot_checks, _pilot_starts
from circuitcheck.components._common import check_mistakes, pressure_data, rated_flow
from circuitcheck.components._parts import (
    Choice,
    Figures,
    Kind,
    Part,
    Port,
    PortKind,
    Result,
    Starts,
)
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View


def ports(part: Part) -> tuple[Port, ...]:
    found = (
        Port("in", PortKind.WORK, "valve side"),
        Port("out", PortKind.WORK, "load side"),
        Port("X", PortKind.PILOT, "pilot"),
    )
    if part.says("drained"):
        return (*found, Port("Y", PortKind.DRAIN, "drain of the pilot piston"))
    return found


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    return check_mistakes(part) + _pilot_checks.mistakes(part)


def equations(part: Part, net: Net) -> None:
    behind = "Y" if part.says("drained") else "in"
    _pilot_checks.element(net, "", "in", "out", "X", behind)


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": view.q("in"),
        "pressure": view.p("out"),
        "drop": view.p("in") - view.p("out"),
        "pilot pressure": view.p("X"),
    }


def state(part: Part, view: View) -> list[str]:
    return view.words(_pilot_checks.word_of(view, ""))


def starts(part: Part, view: View) -> tuple[Starts, ...]:
    return (_pilot_starts.starts(view, "", "in", "out", "X"),)


KINDS = (
    Kind(
        word="pilot check",
        other_words=("pilot-operated check",),
        text="Free flow from in to out; back only while the pilot X holds it open. Pressure at in "
        "works against the pilot piston, unless that is drained to Y.",
        ports=ports,
        parameters=(
            *_pilot_checks.PARAMETERS,
            rated_flow(60.0, 2.0),
            *pressure_data(),
        ),
        choices=(Choice("pilot piston", ("drained",)),),
        through=("in", "out"),
        assumes=_pilot_checks.assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        starts=starts,
        measures=(
            Result("flow", "flow", "flow towards the load"),
            Result("pressure", "pressure", "load-side pressure"),
            Result("drop", "pressure", "drop"),
            Result("pilot pressure", "pressure", "pressure at X"),
        ),
        law_text=(
            "in to out: free flow over a check",
            "out to in: opens when ratio x (p(X) - p behind the piston) exceeds the "
            "pressure on the seat and the spring",
        ),
        sources=_pilot_checks.SOURCES,
    ),
)
