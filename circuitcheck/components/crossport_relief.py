"""Cross-port relief: limits the shocks between the two lines of a motor or cylinder."""

from __future__ import annotations

from circuitcheck.components import _line_guards
from circuitcheck.components._common import pressure_data
from circuitcheck.components._parts import (
    Choice,
    Figures,
    Kind,
    Part,
    Port,
    PortKind,
    Result,
)
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View


def ports(part: Part) -> tuple[Port, ...]:
    found = (Port("A", PortKind.WORK, "line A"), Port("B", PortKind.WORK, "line B"))
    if part.says("anti-cavitation"):
        return (*found, Port("T", PortKind.RETURN, "oil to make up from"))
    return found


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    return _line_guards.FEED_USUAL if part.says("anti-cavitation") else {}


def equations(part: Part, net: Net) -> None:
    _line_guards.relief(net, "relief A", "A", "B")
    _line_guards.relief(net, "relief B", "B", "A")
    if part.says("anti-cavitation"):
        _line_guards.feed(net, "feed A", "T", "A")
        _line_guards.feed(net, "feed B", "T", "B")


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": view.element("relief A") - view.element("relief B"),
        "drop": view.p("A") - view.p("B"),
        "feed": view.element("feed A") + view.element("feed B"),
    }


def state(part: Part, view: View) -> list[str]:
    from_a, from_b = view.element("relief A", "opening"), view.element("relief B", "opening")
    fed_a = view.element("feed A", "opening") > _line_guards.TRICKLE
    fed_b = view.element("feed B", "opening") > _line_guards.TRICKLE

    def word(i: int) -> str:
        over = "A to B" if from_a[i] > 0.0 else "B to A" if from_b[i] > 0.0 else ""
        fed = "feeding A" if fed_a[i] else "feeding B" if fed_b[i] else ""
        return ", ".join(text for text in (over, fed) if text) or "closed"

    return view.words(word)


KINDS = (
    Kind(
        word="crossport relief",
        other_words=("crossport reliefs",),
        text="Two reliefs between lines A and B, one each way, with or without anti-cavitation "
        "checks from T. Pressure in the other line adds to the setting.",
        ports=ports,
        parameters=(
            _line_guards.SET,
            _line_guards.FLOW,
            _line_guards.RELIEF_OVERRIDE,
            *_line_guards.FEED,
            *pressure_data(),
        ),
        choices=(Choice("make-up", ("anti-cavitation",)),),
        assumes=assumes,
        mistakes=_line_guards.feed_mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow from A to B over the reliefs"),
            Result("drop", "pressure", "A over B"),
            Result("feed", "flow", "oil made up from T"),
        ),
        law_text=(
            "A to B and B to A: relief with a straight line from cracking to setting, "
            "each counting from the other line",
            "feeding checks from T where said",
        ),
        sources=("two direct reliefs, each seeing the other line behind it; from memory",),
    ),
)
