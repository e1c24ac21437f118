"""Double pilot check: holds both lines of an actuator, each released by the other's supply."""

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
        Port("A1", PortKind.WORK, "valve side of line A"),
        Port("B1", PortKind.WORK, "valve side of line B"),
        Port("A2", PortKind.WORK, "load side of line A"),
        Port("B2", PortKind.WORK, "load side of line B"),
    )
    if part.says("drained"):
        return (*found, Port("Y", PortKind.DRAIN, "drain of the pilot piston"))
    return found


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    return check_mistakes(part) + _pilot_checks.mistakes(part)


def equations(part: Part, net: Net) -> None:
    for line, other in (("A", "B"), ("B", "A")):
        # one piston floats between both lines: the own valve side acts on its back
        behind = "Y" if part.says("drained") else f"{line}1"
        _pilot_checks.element(net, f" {line}", f"{line}1", f"{line}2", f"{other}1", behind)


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow A": view.q("A1"),
        "flow B": view.q("B1"),
        "drop A": view.p("A1") - view.p("A2"),
        "drop B": view.p("B1") - view.p("B2"),
    }


def state(part: Part, view: View) -> list[str]:
    a, b = _pilot_checks.word_of(view, " A"), _pilot_checks.word_of(view, " B")
    return view.words(lambda i: f"both {a(i)}" if a(i) == b(i) else f"A {a(i)}, B {b(i)}")


def starts(part: Part, view: View) -> tuple[Starts, ...]:
    return tuple(
        _pilot_starts.starts(view, f" {line}", f"{line}1", f"{line}2", f"{other}1")
        for line, other in (("A", "B"), ("B", "A"))
    )


KINDS = (
    Kind(
        word="double pilot check",
        other_words=("double pilot-operated check",),
        text="Two pilot checks in one body: free flow A1 to A2 and B1 to B2; pressure at A1 "
        "releases B2, pressure at B1 releases A2. It shuts only where both valve sides are let "
        "down to tank.",
        ports=ports,
        parameters=(
            *_pilot_checks.PARAMETERS,
            rated_flow(60.0, 2.0),
            *pressure_data(),
        ),
        choices=(Choice("pilot piston", ("drained",)),),
        through=("A1", "A2"),
        assumes=_pilot_checks.assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        starts=starts,
        measures=(
            Result("flow A", "flow", "flow towards the load in line A"),
            Result("flow B", "flow", "flow towards the load in line B"),
            Result("drop A", "pressure", "drop in line A"),
            Result("drop B", "pressure", "drop in line B"),
        ),
        law_text=(
            "each line: free flow over a check; backwards it opens when ratio x p(other "
            "line) exceeds the pressure behind the seat and the spring",
        ),
        sources=_pilot_checks.SOURCES,
    ),
)
