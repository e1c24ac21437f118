"""Port relief: relief from a work port to tank, with an anti-cavitation check the other way."""

from __future__ import annotations

from circuitcheck.components import _line_guards
from circuitcheck.components._common import pressure_data
from circuitcheck.components._parts import (
    Figures,
    Kind,
    Part,
    Port,
    PortKind,
    Result,
    fixed_ports,
)
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    return _line_guards.FEED_USUAL


def equations(part: Part, net: Net) -> None:
    _line_guards.relief(net, "seat", "A", "T")
    _line_guards.feed(net, "feed", "T", "A")


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": view.element("seat"),
        "pressure": view.p("A"),
        "drop": view.p("A") - view.p("T"),
        "feed": view.element("feed"),
    }


def state(part: Part, view: View) -> list[str]:
    opening = view.element("seat", "opening")
    fed = view.element("feed", "opening") > _line_guards.TRICKLE
    return view.words(
        lambda i: "relieving" if opening[i] > 0.0 else "feeding" if fed[i] else "closed"
    )


KINDS = (
    Kind(
        word="port relief",
        other_words=("port relief valve",),
        text="Relief from work port A to T, and an anti-cavitation check from T to A.",
        ports=fixed_ports(
            Port("A", PortKind.WORK, "work line"), Port("T", PortKind.RETURN, "to tank")
        ),
        parameters=(
            _line_guards.SET,
            _line_guards.FLOW,
            _line_guards.RELIEF_OVERRIDE,
            *_line_guards.FEED,
            *pressure_data(),
        ),
        through=("A", "T"),
        assumes=assumes,
        mistakes=_line_guards.feed_mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow over the relief"),
            Result("pressure", "pressure", "pressure in the work line"),
            Result("drop", "pressure", "work line over tank line"),
            Result("feed", "flow", "oil made up from T"),
        ),
        law_text=(
            "A to T: relief with a straight line from cracking to setting",
            "T to A: feeding check",
        ),
        sources=("direct relief and check in parallel; textbook form, from memory",),
    ),
)
