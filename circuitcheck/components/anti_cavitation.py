"""Anti-cavitation checks: let oil from a return line into whichever line runs short."""

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
    _line_guards.feed(net, "feed A", "T", "A")
    _line_guards.feed(net, "feed B", "T", "B")


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"feed A": view.element("feed A"), "feed B": view.element("feed B")}


def state(part: Part, view: View) -> list[str]:
    a = view.element("feed A", "opening") > _line_guards.TRICKLE
    b = view.element("feed B", "opening") > _line_guards.TRICKLE

    def word(i: int) -> str:
        if a[i] and b[i]:
            return "feeding A and B"
        return "feeding A" if a[i] else "feeding B" if b[i] else "seated"

    return view.words(word)


KINDS = (
    Kind(
        word="anti-cavitation",
        other_words=("anti-cavitation checks",),
        text="Two checks that let oil from T into line A or B where that runs short.",
        ports=fixed_ports(
            Port("T", PortKind.RETURN, "oil to make up from"),
            Port("A", PortKind.WORK, "line A"),
            Port("B", PortKind.WORK, "line B"),
        ),
        parameters=(_line_guards.FLOW, *_line_guards.FEED, *pressure_data()),
        assumes=assumes,
        mistakes=_line_guards.feed_mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("feed A", "flow", "oil made up into line A"),
            Result("feed B", "flow", "oil made up into line B"),
        ),
        law_text=(
            "T to A and T to B: q = k y root(dp), y from 0 to 1 over a band of p(T) - "
            "p(line) above the cracking pressure",
        ),
        sources=("two one-way openings; textbook form, from memory",),
    ),
)
