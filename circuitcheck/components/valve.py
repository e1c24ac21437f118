"""Directional valve, 2/2 to 6/3: switching, proportional or servo, pilot operated or not."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _flow_force, _pilots, _spools, _ways
from circuitcheck.components._common import SEAT_LEAK, capacity, circle, pressure_data
from circuitcheck.components._edge_leakage import leakage_of, leakage_parameter
from circuitcheck.components._parts import (
    Caution,
    Choice,
    Figures,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
    Result,
)
from circuitcheck.components._trade import SIZE, TANK_PORT
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

SENSING = "LS vented at centre"
OVER_TWO = "rated over two edges"
OPEN_BETWEEN, SHUT_BETWEEN = "open in transit", "closed in transit"
"""What the ports do between two positions: all joined for a moment, or all shut."""

DROPS = {"servo": 35.0 * BAR, "proportional": 5.0 * BAR, "": 6.0 * BAR}
"""Drop of one edge at the rated flow: servo 70 bar over both, proportional 10; ISO 10770-1,
from memory. Switching valves: common practice, no source."""


def ports(part: Part) -> tuple[Port, ...]:
    found = _ways.ports((part.ways or (4, 3))[0])
    if part.says(SENSING):
        found = (*found, Port("LS", PortKind.SENSE, "load signal"))
    return found + _pilots.ports(part)


def metering(part: Part) -> str:
    """Word of a valve that meters over its travel: servo, proportional, or nothing."""
    said = part.many.get("actuation", ())
    return next((word for word in ("servo", "proportional") if word in said), "")


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    word = metering(part)
    edges = 2.0 if part.says(OVER_TWO) else 1.0
    source = f"usual for a {word or 'switching'} valve; common practice, no source"
    found = {"drop": (DROPS[word] * edges, source)}
    half = part.choices.get("centre") == "half-open centre"
    transit = part.choices.get("transit", "")
    if part.figure("overlap") is None:
        shut = 0.5 if transit == SHUT_BETWEEN else 0.0
        found["overlap"] = (shut, transit or "dead zone taken up by the control; own choice")
    found["closing"] = (
        1.0 if transit == OPEN_BETWEEN else 0.5,
        transit or "common practice, no source",
    )
    found["centre opening"] = (
        _spools.HALF_OPEN if half else 1.0,
        "5 to 10 % of a half-open centre, else full; common practice, no source",
    )
    return found | _pilots.assumes(part)


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    if part.ways is None:
        return [("ways", "how many ways and positions?", "write, for example, valve 4/3")]
    if part.ways not in _ways.KNOWN:
        n, m = part.ways
        known = [f"{ways}/{count}" for ways, count in _ways.KNOWN]
        there = f"there are {', '.join(known[:-1])} and {known[-1]}"
        return [("ways", f"there is no valve {n}/{m} here", there)]
    return _ways.mistakes(part) + _edge_mistakes(part)


def _edge_mistakes(part: Part) -> list[tuple[str, str, str]]:
    """Laps, ratios and signals that the edges of this valve cannot have."""
    ways, count = part.ways or (4, 3)
    found = _pilots.mistakes(part)
    over, under = part.figure("overlap") or 0.0, part.figure("underlap") or 0.0
    if over > 0.0 and under > 0.0:
        found.append(
            ("underlap", f"{part.name} has overlap and underlap", "an edge has one of the two")
        )
    if part.given("underlap") and ways not in (4, 5):
        found.append(
            ("underlap", f"{part.name} has no four edges to underlap", "it needs four ways")
        )
    if part.given("ratio") and ways not in (4, 5):
        found.append(("ratio", f"{part.name} has no edges at B to size", "leave the ratio out"))
    if part.says(SENSING) and (ways != 4 or count < 3):
        found.append(("signal", f"{part.name} has no centre to vent LS", "it takes a valve 4/3"))
    return found


def standing(part: Part, of: Net | View) -> _spools.Spool:
    """The spool as it stands, at rest where its pilot is short or its detent let go."""
    lap = _spools.Lap(
        overlap=of.value("overlap"),
        underlap=of.value("underlap"),
        closing=of.value("closing"),
        at_rest=of.value("centre opening"),
    )
    return _spools.spool(of, part, lap, _pilots.shifted(part, of))


def edge_capacity(part: Part, net: Net, a: str, b: str) -> Array:
    """k of a passage fully open [m3/(s Pa^0.5)]."""
    path = f"{a[0]}-{b[0]}"  # T1 and T2 of five ways count as T
    own = net.value_of(path)
    edges = 2.0 if part.says(OVER_TWO) else 1.0
    if own is not None:
        return capacity(net, own, np.asarray(net.value(f"{path} drop")))
    k = capacity(net, net.value("flow"), np.asarray(net.value("drop")) / edges)
    ratio = net.value_of("ratio")
    return k / np.asarray(ratio) if ratio is not None and "B" in (a, b) else k


def equations(part: Part, net: Net) -> None:
    leak = leakage_of(net)
    spool = standing(part, net)
    for (a, b), names in _spools.passages(part).items():
        # an underlapped edge stands open at rest though no position joins its ports there
        net.orifice(f"{a}-{b}", a, b, edge_capacity(part, net, a, b) * spool.opening(names), leak)
    if part.says(SENSING):
        bore = circle(net.value("pick-up")) * 0.62 * np.sqrt(2.0 / net.oil.rho)
        taken, vented = _spools.picked_up(part, spool)
        for letter, open_ in taken.items():
            net.orifice(f"signal {letter}", letter, "LS", bore * open_)
        net.orifice("vent", "LS", "T", bore * vented, SEAT_LEAK)


def greatest_flow(part: Part, view: View) -> Array:
    flows = [np.abs(view.element(f"{a}-{b}")) for a, b in _spools.passages(part)]
    found: Array = np.max(flows, axis=0)
    return found


def results(part: Part, view: View) -> dict[str, Figures]:
    found: dict[str, Figures] = {"flow": greatest_flow(part, view)}
    share = _flow_force.used(part, view, found["flow"])
    if share is not None:
        found["switching limit used"] = share
    if part.says(SENSING):
        found["signal"] = view.p("LS")
    if _pilots.supply(part):
        found["pilot pressure"] = _pilots.pressure(part, view)
    return found


def state(part: Part, view: View) -> list[str]:
    return view.words(lambda i: _pilots.word(part, view, i))


def cautions(part: Part, view: View) -> list[tuple[Caution, ...]]:
    return _flow_force.cautions(part, view, greatest_flow(part, view))


def path_flow(a: str, b: str) -> Parameter:
    at = Parameter(
        f"{a}-{b} drop", "pressure", "bar", "drop of that path", default=6 * BAR, least=1.0
    )
    text = f"rated flow of path {a} to {b}"
    return Parameter(f"{a}-{b}", "flow", "L/min", text, at=at, least=1e-9)


KINDS = (
    Kind(
        word="valve",
        text="Directional valve with ways/positions; rated flow holds for one path, or over two "
        "edges if so said. Five ways have a tank port for A and one for B; six ways join a "
        "pair of lines to one of two others. Edges open in proportion to the travel that a step "
        "orders. A pilot operated valve stays at rest where its pilot pressure is short.",
        ports=ports,
        parameters=(
            Parameter(
                "flow",
                "flow",
                "L/min",
                "rated flow of one path",
                default=60 * L_MIN,
                bare=True,
                least=1e-9,
                at=Parameter("drop", "pressure", "bar", "drop at the rated flow", least=1.0),
            ),
            path_flow("P", "A"),
            path_flow("P", "B"),
            path_flow("A", "T"),
            path_flow("B", "T"),
            path_flow("P", "T"),
            Parameter(
                "ratio",
                "ratio",
                "",
                "opening of the edges at A over those at B (asymmetric spool)",
                least=0.1,
                most=10.0,
            ),
            Parameter("overlap", "share", "%", "travel before an edge opens", least=0.0, most=0.5),
            Parameter(
                "underlap",
                "share",
                "%",
                "opening of all edges at centre",
                default=0.0,
                least=0.0,
                most=0.5,
                source="zero lap; own choice",
            ),
            Parameter(
                "closing",
                "share",
                "%",
                "travel at which the paths of the rest position are shut",
                least=0.01,
                most=1.0,
            ),
            Parameter(
                "centre opening",
                "share",
                "%",
                "opening of the paths of the centre",
                least=0.001,
                most=1.0,
            ),
            Parameter(
                "pick-up", "length", "mm", "bore of the signal orifice", default=0.8e-3, least=1e-4
            ),
            leakage_parameter(0.02 * L_MIN),
            _flow_force.PARAMETER,
            *pressure_data(),
            TANK_PORT,
            *SIZE,
            Parameter("tank rated", "pressure", "bar", "highest pressure at port T", least=1.0),
            *_pilots.PARAMETERS,
        ),
        choices=(
            Choice("centre", tuple(_spools.CENTRES), default=None),
            Choice("rest", ("closed at rest", "open at rest")),
            Choice("rating", ("rated per edge", OVER_TWO)),
            Choice("signal", (SENSING,)),
            Choice("transit", (OPEN_BETWEEN, SHUT_BETWEEN)),
            *_pilots.CHOICES,
            Choice(
                "actuation",
                (
                    "solenoids a and b",
                    "solenoid a",
                    "solenoid b",
                    "lever",
                    "pedal",
                    "push button",
                    "roller",
                    "pilot operated",
                    "proportional",
                    "servo",
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
        assumes=assumes,
        mistakes=mistakes,
        latch=_pilots.latch,
        equations=equations,
        results=results,
        state=state,
        cautions=cautions,
        measures=(
            Result("flow", "flow", "greatest flow over a path"),
            Result("switching limit used", "share", "flow force over what moves the spool"),
            Result("signal", "pressure", "load signal"),
            Result("pilot pressure", "pressure", "pilot pressure over its drain"),
        ),
        law_text=(
            "each edge that a position joins: q = k x root(dp), x = travel beyond the "
            "lap, k from rated flow at rated drop",
            "shut edges: leakage in proportion to dp",
            "LS vented at centre: pick-up hole from the working port, vent to T at centre",
            _flow_force.LAW_TEXT,
        ),
        sources=(
            "orifice law with rated flow at rated drop; ISO 10770-1 from memory",
            "opening straight over the travel from its lap on; textbook form, from memory",
            "steady flow force 2 C_d A dp cos 69 deg of an edge; Merritt 1967, from memory",
        ),
    ),
)
