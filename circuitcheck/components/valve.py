"""Directional valve, 2/2 to 4/3, switching or proportional."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _spools
from circuitcheck.components._common import capacity, pressure_rating, rated_flow
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
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

LETTERS = {
    "P": (PortKind.PRESSURE, "supply"),
    "T": (PortKind.RETURN, "to tank"),
    "A": (PortKind.WORK, "work port A"),
    "B": (PortKind.WORK, "work port B"),
}


def ports(part: Part) -> tuple[Port, ...]:
    ways = (part.ways or (4, 3))[0]
    letters = {2: "PA", 3: "PTA", 4: "PTAB"}.get(ways, "PTAB")
    return tuple(Port(letter, *LETTERS[letter]) for letter in letters)


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    if part.ways is None:
        return [("ways", "how many ways and positions?", "write, for example, valve 4/3")]
    if part.ways not in ((2, 2), (3, 2), (3, 3), (4, 2), (4, 3)):
        n, m = part.ways
        return [("ways", f"there is no valve {n}/{m} here", "there are 2/2, 3/2, 3/3, 4/2 and 4/3")]
    return []


def equations(part: Part, net: Net) -> None:
    leak = np.asarray(net.value("leakage")) / np.asarray(net.value("leakage pressure"))
    for (a, b), names in _spools.passages(part).items():
        own = net.value_of(f"{a}-{b}")
        if own is None:
            k = capacity(net, net.value("flow"), net.value("drop"))
        else:
            k = capacity(net, own, net.value(f"{a}-{b} drop"))
        net.orifice(f"{a}-{b}", a, b, k * _spools.opening(net, names), leak)


def results(part: Part, view: View) -> dict[str, Figures]:
    flows = [np.abs(view.element(f"{a}-{b}")) for a, b in _spools.passages(part)]
    return {"flow": np.max(flows, axis=0)}


def state(part: Part, view: View) -> list[str]:
    return view.words(lambda i: f"at {view.position[i]}")


def path_flow(a: str, b: str) -> Parameter:
    at = Parameter(f"{a}-{b} drop", "pressure", "bar", "drop of that path", default=6 * BAR)
    return Parameter(f"{a}-{b}", "flow", "L/min", f"rated flow of path {a} to {b}", at=at)


KINDS = (
    Kind(
        word="valve",
        text="Directional valve with ways/positions; rated flow holds for one path.",
        ports=ports,
        parameters=(
            rated_flow(60.0, 6.0, "rated flow of one path"),
            path_flow("P", "A"),
            path_flow("P", "B"),
            path_flow("A", "T"),
            path_flow("B", "T"),
            path_flow("P", "T"),
            Parameter(
                "leakage",
                "flow",
                "L/min",
                "leakage over each shut edge",
                default=0.02 * L_MIN,
                least=0.0,
                at=Parameter(
                    "leakage pressure",
                    "pressure",
                    "bar",
                    "pressure of that leakage",
                    default=100 * BAR,
                    least=1e5,
                ),
                source="1e-4 to 1e-3 L/min per bar and edge; common practice, no source",
            ),
            pressure_rating(),
            Parameter("tank rated", "pressure", "bar", "highest pressure at port T"),
            Parameter("pilot", "pressure", "bar", "least pilot pressure"),
            Parameter("kick-out", "pressure", "bar", "pressure that releases the detent"),
        ),
        choices=(
            Choice("centre", tuple(_spools.CENTRES), default=None),
            Choice("rest", ("closed at rest", "open at rest")),
            Choice(
                "actuation",
                (
                    "solenoids a and b",
                    "solenoid a",
                    "solenoid b",
                    "lever",
                    "pedal",
                    "push button",
                    "pilot operated",
                    "proportional",
                    "spring centred",
                    "spring return",
                    "detent",
                    "detent a",
                    "detent b",
                ),
                many=True,
            ),
        ),
        has_ways=True,
        positions=_spools.positions,
        rest=_spools.rest,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(Result("flow", "flow", "greatest flow over a path"),),
        sources=("orifice law with rated flow at rated drop; ISO 10770-1 from memory",),
    ),
)
