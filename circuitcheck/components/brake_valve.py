"""Motor brake valve: a counterbalance element in both lines, shock reliefs and make-up."""

from __future__ import annotations

from circuitcheck.components import _line_guards, _load_holding
from circuitcheck.components._common import pressure_data, rated_flow
from circuitcheck.components._parts import (
    Choice,
    Figures,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
    Result,
)
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View


def ports(part: Part) -> tuple[Port, ...]:
    found = (
        Port("A1", PortKind.WORK, "valve side of line A"),
        Port("B1", PortKind.WORK, "valve side of line B"),
        Port("A2", PortKind.WORK, "motor side of line A"),
        Port("B2", PortKind.WORK, "motor side of line B"),
    )
    if part.says("anti-cavitation"):
        return (*found, Port("T", PortKind.RETURN, "oil to make up from"))
    return found


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    found = {}
    if part.says("crossport reliefs"):
        found["override"] = (_line_guards.OVERRIDE, "10 % of a direct relief; from memory")
    if part.says("anti-cavitation"):
        found |= _line_guards.FEED_USUAL
    return found


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    found = _load_holding.mistakes(part) + _line_guards.feed_mistakes(part)
    shock, setting = part.figures.get("relief"), part.figures.get("set")
    if part.says("crossport reliefs") and shock is None:
        found.append(
            (
                "relief",
                f"the crossport reliefs of {part.name} need a setting",
                "write, for example, relief 250 bar",
            )
        )
    if shock and not part.says("crossport reliefs"):
        found.append(
            (
                "relief",
                f"{part.name} has a relief setting, but no crossport reliefs",
                "write 'crossport reliefs' too, or leave the setting out",
            )
        )
    if shock and setting and shock.value <= setting.value:
        found.append(
            (
                "relief",
                f"the crossport reliefs of {part.name} ({shock.text}) are not set above its "
                f"brake elements ({setting.text})",
                "set them some 20 % higher, or they work in place of the brake elements",
            )
        )
    return found


def equations(part: Part, net: Net) -> None:
    for line, other in (("A", "B"), ("B", "A")):
        _load_holding.element(part, net, f" {line}", f"{line}1", f"{line}2", f"{other}1")
        if part.says("crossport reliefs"):
            _line_guards.relief(net, f"relief {line}", f"{line}2", f"{other}2", "relief")
        if part.says("anti-cavitation"):
            _line_guards.feed(net, f"feed {line}", "T", f"{line}2")


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "drop A": view.p("A2") - view.p("A1"),
        "drop B": view.p("B2") - view.p("B1"),
        "crossport flow": view.element("relief A") - view.element("relief B"),
        "feed": view.element("feed A") + view.element("feed B"),
    }


def state(part: Part, view: View) -> list[str]:
    a = _load_holding.word_of(view, " A", "braking")
    b = _load_holding.word_of(view, " B", "braking")
    return view.words(lambda i: f"both {a(i)}" if a(i) == b(i) else f"A {a(i)}, B {b(i)}")


KINDS = (
    Kind(
        word="brake valve",
        other_words=("motor brake valve",),
        text="A counterbalance element in each line of a motor: free flow A1 to A2 and B1 to B2; "
        "back only when the motor pushes, helped by the pressure at the other valve side.",
        ports=ports,
        parameters=(
            *_load_holding.PARAMETERS,
            Parameter(
                "relief",
                "pressure",
                "bar",
                "setting of the crossport reliefs",
                least=0.1 * BAR,
                most=2000 * BAR,
            ),
            Parameter(
                "override",
                "share",
                "%",
                "cracking to setting of the crossport reliefs",
                least=0.002,
                most=0.6,
            ),
            *_line_guards.FEED,
            rated_flow(60.0, 8.0),
            *pressure_data(),
        ),
        choices=(
            _load_holding.SPRING_CHAMBER,
            Choice("shock", ("crossport reliefs",)),
            Choice("make-up", ("anti-cavitation",)),
        ),
        through=("A1", "A2"),
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("drop A", "pressure", "motor side over valve side, line A"),
            Result("drop B", "pressure", "motor side over valve side, line B"),
            Result("crossport flow", "flow", "flow over the crossport reliefs, A to B"),
            Result("feed", "flow", "oil made up from T"),
        ),
        law_text=(
            "each line: opens at load + ratio x pilot = setting + (1 + ratio) x back pressure",
            "free flow towards the load over a check",
            "crossport reliefs and feeding checks where said",
        ),
        sources=_load_holding.SOURCES,
    ),
)
