"""Section of an open-centre bank: the through passage shuts as the spool feeds its port."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _spools
from circuitcheck.components._common import (
    FREE_FLOW_BAND,
    SEAT_LEAK,
    capacity,
    one_way_capacity,
    pressure_data,
    rated_flow,
)
from circuitcheck.components._edge_leakage import leakage_of, leakage_parameter
from circuitcheck.components._parts import (
    Choice,
    Figures,
    Joints,
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

PARALLEL, SERIES, TANDEM = "parallel gallery", "series gallery", "tandem gallery"
CENTRES: dict[str, Joints] = {"closed centre": (), "float centre": (("A", "B", "T"),)}
FLOAT = "float position"


def gallery(part: Part) -> str:
    return part.choices.get("gallery", PARALLEL)


def feed(part: Part) -> str:
    """Port that feeds the work ports."""
    return "P" if gallery(part) == PARALLEL else "N"


def drain(part: Part) -> str:
    """Port that takes the oil of the work ports back."""
    return "NO" if gallery(part) == SERIES else "T"


def ports(part: Part) -> tuple[Port, ...]:
    found = [
        Port("N", PortKind.THROUGH, "through passage, in"),
        Port("NO", PortKind.THROUGH, "through passage, out"),
        Port("A", PortKind.WORK, "work port A"),
        Port("B", PortKind.WORK, "work port B"),
    ]
    if gallery(part) == PARALLEL:
        found.insert(0, Port("P", PortKind.PRESSURE, "supply gallery"))
    if gallery(part) != SERIES:
        found.append(Port("T", PortKind.RETURN, "to tank"))
    return tuple(found)


def positions(part: Part) -> dict[str, Joints]:
    source, back = feed(part), drain(part)
    centre = tuple(
        tuple(back if port == "T" else port for port in group)
        for group in CENTRES[part.choices.get("centre", "closed centre")]
    )
    found: dict[str, Joints] = {
        "a": ((source, "A"), ("B", back)),
        "centre": (("N", "NO"), *centre),
        "b": ((source, "B"), ("A", back)),
    }
    if back == "NO" and centre:
        found["centre"] = (("A", "B", "N", "NO"),)
    if part.says(FLOAT):
        found["float"] = (
            (("A", "B", "N", "NO"),) if back == "NO" else (("N", "NO"), ("A", "B", "T"))
        )
    return {**found, **part.spool}


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    opens, shuts = part.figures["opens"], part.figures["shuts"]
    if opens.value >= shuts.value:
        return [
            (
                "opens",
                f"{part.name} shuts its through passage at {shuts.text} of travel and feeds its "
                f"work port only from {opens.text}",
                "between the two the pump would have no way out: let it open before it shuts",
            )
        ]
    return []


def equations(part: Part, net: Net) -> None:
    source, back = feed(part), drain(part)
    rest = part.rest
    x = {name: net.travel(name) for name in part.positions if name != rest}
    leak = leakage_of(net)
    k = capacity(net, net.value("flow"), net.value("drop"))
    opens, shuts = np.asarray(net.value("opens")), np.asarray(net.value("shuts"))
    feeding = _spools.spool(net, part, _spools.Lap(overlap=opens, closing=opens))
    passing = _spools.spool(net, part, _spools.Lap(closing=shuts))
    through = [name for name, groups in part.positions.items() if _joins(groups, "N", "NO")]
    free = capacity(net, net.value("through flow"), net.value("through drop"))
    net.orifice("N-NO", "N", "NO", free * passing.opening(through), leak)
    fed = source
    if not part.says("no load check"):
        fed = net.inner("fed")
        net.modulated(
            "load check",
            source,
            fed,
            k=one_way_capacity(net, 2.0 * np.asarray(net.value("flow")), net.value("drop")),
            opened_by={source: 1.0, fed: -1.0},
            offset=-np.asarray(net.value("check cracking")),
            band=FREE_FLOW_BAND,
            leak=SEAT_LEAK,
        )
    for end in ("A", "B"):
        to = [n for n, groups in part.positions.items() if n in x and _joins(groups, source, end)]
        off = [n for n, groups in part.positions.items() if _joins(groups, end, back)]
        if back == "NO":
            # what only the joined through passage brings together is not a feeding edge
            to = [n for n in to if n not in ("float",)]
        net.orifice(f"P-{end}", fed, end, k * feeding.opening(to), leak)
        net.orifice(f"{end}-T", end, back, k * feeding.opening(off), leak)


def _joins(groups: Joints, a: str, b: str) -> bool:
    return any(a in group and b in group for group in groups)


def results(part: Part, view: View) -> dict[str, Figures]:
    fed = np.maximum(np.abs(view.element("P-A")), np.abs(view.element("P-B")))
    source = feed(part)
    return {
        "flow": fed,
        "through flow": view.element("N-NO"),
        "drop": view.p(source) - np.maximum(view.p("A"), view.p("B")),
    }


def state(part: Part, view: View) -> list[str]:
    fed = np.maximum(view.element("P-A"), view.element("P-B"))
    past = view.element("N-NO")

    def word(i: int) -> str:
        place = f"at {view.position[i]}"
        if view.position[i] in (part.rest, "float"):
            return place
        if fed[i] <= 1e-2 * L_MIN and not part.says("no load check"):
            return f"{place}, load check shut"
        return f"{place}, metering" if past[i] > 0.1 * L_MIN else place

    return view.words(word)


KINDS = (
    Kind(
        word="bank section",
        other_words=("open-centre section",),
        text="Six-port section of an open-centre bank. At centre oil goes from N to NO; as the "
        "spool moves, that passage shuts and the work port is fed: from P (parallel), or from "
        "N so that the section before goes first (tandem), or from N with its return to NO for "
        "the section behind (series).",
        ports=ports,
        parameters=(
            rated_flow(60.0, 6.0, "rated flow of one path"),
            Parameter(
                "through flow",
                "flow",
                "L/min",
                "rated flow of the through passage",
                default=60 * L_MIN,
                least=1e-9,
                at=Parameter(
                    "through drop",
                    "pressure",
                    "bar",
                    "drop of that flow at centre",
                    default=2 * BAR,
                    least=1e3,
                ),
            ),
            Parameter(
                "opens",
                "share",
                "%",
                "travel at which the work port begins to be fed",
                default=0.2,
                least=0.01,
                most=0.9,
            ),
            Parameter(
                "shuts",
                "share",
                "%",
                "travel at which the through passage is shut",
                default=0.8,
                least=0.05,
                most=1.0,
            ),
            Parameter(
                "check cracking",
                "pressure",
                "bar",
                "cracking pressure of the load check",
                default=0.3 * BAR,
                least=0.0,
                most=10 * BAR,
            ),
            leakage_parameter(0.02 * L_MIN),
            *pressure_data(),
        ),
        choices=(
            Choice("gallery", (PARALLEL, SERIES, TANDEM), default=PARALLEL),
            Choice("centre", tuple(CENTRES), default="closed centre"),
            Choice("fourth", (FLOAT,)),
            Choice("check", ("load check", "no load check"), default="load check"),
            Choice(
                "actuation",
                (
                    "lever",
                    "solenoids a and b",
                    "proportional",
                    "pilot operated",
                    "spring centred",
                    "detent",
                    "detent a",
                    "detent b",
                ),
                many=True,
            ),
        ),
        positions=positions,
        rest=_spools.rest,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow over the feeding edge"),
            Result("through flow", "flow", "flow over the through passage"),
            Result("drop", "pressure", "supply over the higher work port"),
        ),
        law_text=(
            "edges P-A, P-B, A-T, B-T: q = k x root(dp) beyond the lap, x = travel of the spool",
            "through passage N-NO: its opening falls to 0 over the travel at which it shuts",
            "load check before the feeding edges: opens at its cracking pressure",
        ),
        sources=(
            "edges straight over the travel, laps of the trade; common practice, no source",
            "galleries parallel, series, tandem: textbook form, from memory",
        ),
    ),
)
