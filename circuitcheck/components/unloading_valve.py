"""Unloading valve: opens its inlet to tank when pressure elsewhere passes its setting."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _pressure_valves
from circuitcheck.components._common import (
    SEAT_LEAK,
    free_flow_check,
    pressure_data,
    rated_flow,
    rated_one_way,
)
from circuitcheck.components._latches import began
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
from circuitcheck.laws.net import Bools, Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

SHUTS = 0.85
"""Closing pressure of a differential valve as a share of its setting; 0.8 to 0.9 is usual,
common practice, no source."""


def sensed(part: Part) -> str:
    """Port whose pressure works the valve."""
    if part.says("built-in check"):
        return "A"
    return "P" if part.says("internal pilot") else "X"


def ports(part: Part) -> tuple[Port, ...]:
    found = [Port("P", PortKind.PRESSURE, "inlet"), Port("T", PortKind.RETURN, "outlet")]
    if part.says("built-in check"):
        found.append(Port("A", PortKind.WORK, "behind the check, to the accumulator"))
    if sensed(part) == "X":
        found.append(Port("X", PortKind.PILOT, "pilot"))
    return tuple(found)


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    setting = part.figure("set")
    if not part.says("differential") or setting is None:
        return {}
    return {"shuts": (SHUTS * setting, "85 % of the setting; common practice, no source")}


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    found = []
    opens, shuts = part.figures.get("set"), part.figures.get("shuts")
    if shuts and shuts.origin == "given" and not part.says("differential"):
        found.append(
            (
                "shuts",
                f"{part.name} shuts at {shuts.text}, but is not said to be differential",
                "write 'differential' too, or leave the second pressure out",
            )
        )
    if part.says("differential") and shuts and opens and shuts.value >= opens.value:
        found.append(
            (
                "shuts",
                f"{part.name} shuts at {shuts.text}, not below {opens.text} where it opens",
                "it opens at 'set' and stays open down to 'shuts'",
            )
        )
    if part.says("differential") and sensed(part) == "P":
        found.append(
            (
                "pilot",
                f"{part.name} would be worked by the very pressure that it lets go",
                "a differential valve senses behind a check: 'built-in check', or a pilot at X",
            )
        )
    return found


def _is_held(part: Part, of: Net | View) -> Bools:
    """Where a differential valve begins the step open."""
    if not part.says("differential"):
        return np.zeros(of.variants, dtype=bool)
    return began(of)


def setting(part: Part, of: Net | View) -> Array:
    """Pressure at which it begins to open [Pa].

    While it is held open that pressure lies a band under the one at which it shuts.
    """
    opens = np.broadcast_to(np.asarray(of.value("set"), dtype=float), (of.variants,))
    if not part.says("differential"):
        return opens
    low = np.asarray(of.value("shuts")) - np.asarray(of.value("band"))
    return np.where(_is_held(part, of), low, opens)


def equations(part: Part, net: Net) -> None:
    net.modulated(
        "seat",
        "P",
        "T",
        k=rated_one_way(net),
        opened_by={sensed(part): 1.0, "T": -1.0},
        offset=-setting(part, net),
        band=net.value("band"),
        leak=SEAT_LEAK,
    )
    if part.says("built-in check"):
        free_flow_check(net, "check", "P", "A", rated_one_way(net))


def latch(part: Part, view: View) -> tuple[Bools, Bools]:
    """It is held open from the step after the one in which it reaches its setting."""
    if not part.says("differential"):
        never = np.zeros(view.variants, dtype=bool)
        return never, ~never
    held, pilot = _is_held(part, view), view.p(sensed(part)) - view.p("T")
    reached: Bools = ~held & (pilot >= np.asarray(view.value("set")))
    fallen: Bools = held & (pilot < np.asarray(view.value("shuts")))
    return reached, fallen


def results(part: Part, view: View) -> dict[str, Figures]:
    return {
        "flow": view.element("seat"),
        "drop": view.p("P") - view.p("T"),
        "pilot pressure": view.p(sensed(part)),
    }


def state(part: Part, view: View) -> list[str]:
    opening, held = view.element("seat", "opening"), _is_held(part, view)

    def word(i: int) -> str:
        if opening[i] <= 0.0:
            return "closed"
        if held[i]:
            return "held open" if opening[i] > 0.98 else "about to shut"
        return "open" if opening[i] > 0.98 else "regulating"

    return view.words(word)


KINDS = (
    Kind(
        word="unloading valve",
        text="Opens P to T when the pressure at X passes the setting. A differential one, once "
        "it has opened, is held open in the steps that follow until that pressure has fallen "
        "to where it shuts. In the step in which it switches it is shown holding the pressure at "
        "which it does so; short steps tell its cycle better than long ones.",
        ports=ports,
        parameters=(
            Parameter(
                "set",
                "pressure",
                "bar",
                "pilot pressure at which it opens",
                needed=True,
                least=0.1 * BAR,
                most=2000 * BAR,
            ),
            Parameter(
                "shuts",
                "pressure",
                "bar",
                "pilot pressure at which a differential valve shuts again",
                least=0.05 * BAR,
                most=2000 * BAR,
                source="0.8 to 0.9 of the setting; common practice, no source",
            ),
            rated_flow(60.0, 3.0),
            Parameter(
                "band",
                "pressure",
                "bar",
                "from opening to full opening",
                default=5 * BAR,
                least=1e4,
                most=200 * BAR,
            ),
            *pressure_data(),
        ),
        choices=(
            Choice("pilot", ("remote pilot", "internal pilot", "built-in check")),
            Choice("switching", ("differential",)),
        ),
        through=("P", "T"),
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        latch=latch,
        measures=(
            *_pressure_valves.MEASURES,
            Result("pilot pressure", "pressure", "pressure that works it"),
        ),
        law_text=(
            "P to T: q = k y root(dp), y = (p(sensed) - p(T) - set)/band, between 0 and 1",
            "differential: the setting falls to the lower pressure while it unloads",
            "built-in check P to A where said",
        ),
        sources=(
            "opening worked by the pilot pressure; textbook form, from memory",
            "differential: two pressures, held between them; textbook form, from memory",
        ),
    ),
)
