"""Load-sensing valve section: compensator before or behind the spool, signal, limits."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _compensation, _spools
from circuitcheck.components._common import pressure_data
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
    fixed_ports,
)
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

SPOOLS: dict[str, Joints] = {"closed centre": (), "float centre": (("A", "B", "T"),)}
BEFORE, SHARING = "pre-compensated", "flow sharing"
FLOAT = "float position"
LIMITS = ("limit", "limit A", "limit B")


def positions(part: Part) -> dict[str, Joints]:
    centre = SPOOLS[part.choices.get("centre", "closed centre")]
    found: dict[str, Joints] = {
        "a": _spools.FOUR_WAY_A,
        "centre": centre,
        "b": _spools.FOUR_WAY_B,
    }
    if part.says(FLOAT):
        found["float"] = SPOOLS["float centre"]
    return {**found, **part.spool}


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    if part.says(SHARING):
        return {
            "spring": (2.0 * BAR, "0 to 3 bar behind the spool; common practice, no source"),
            "margin": (14.0 * BAR, "14 to 30 bar is usual; common practice, no source"),
            "pick-up": (2e-3, "check of the common signal; common practice, no source"),
        }
    return {
        "spring": (7.0 * BAR, "4 to 10 bar before the spool; common practice, no source"),
        "pick-up": (0.8e-3, "common practice, no source"),
    }


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    limit = next((name for name in LIMITS if part.given(name)), None)
    if part.says(SHARING) and limit:
        return [
            (
                limit,
                f"{part.name} shares its load signal with the other sections, so a limit of its "
                "own would limit them all",
                "put a relief valve at the work port, or limit the signal line",
            )
        ]
    if part.given("bleed") and not part.says(SHARING):
        return [
            (
                "bleed",
                f"{part.name} vents its own signal at centre and has no bleed",
                "leave it out, or say  flow sharing",
            )
        ]
    if part.given("margin") and not part.says(SHARING):
        return [
            (
                "margin",
                f"{part.name} meters at the drop its own compensator keeps, not at the margin",
                "give  spring  instead, or say  flow sharing",
            )
        ]
    if part.says(SHARING) and part.figures["margin"].value <= part.figures["spring"].value:
        margin, spring = part.figures["margin"].text, part.figures["spring"].text
        return [
            (
                "margin",
                f"the margin of {part.name} ({margin}) leaves nothing over its spring ({spring})",
                "the drop over the spool is the margin less the spring",
            )
        ]
    return []


def equations(part: Part, net: Net) -> None:
    lap = _spools.Lap(overlap=net.value("overlap"), closing=net.value("closing"))
    spool = _spools.spool(net, part, lap)
    leak = leakage_of(net)
    write = _compensation.sharing if part.says(SHARING) else _compensation.before
    k = write(part, net, spool, leak)
    for end, joints in (("A", ("A", "T")), ("B", ("B", "T"))):
        names = [
            n for n, groups in part.positions.items() if any(set(joints) <= set(g) for g in groups)
        ]
        net.orifice(f"{end}-T", end, "T", k * spool.opening(names), leak)


def results(part: Part, view: View) -> dict[str, Figures]:
    metered = np.maximum(np.abs(view.element("P-A")), np.abs(view.element("P-B")))
    return {
        "flow": metered,
        "pressure": view.p("LS"),
        "margin": view.p("P") - view.p("LS"),
        "drop": view.p("P") - np.maximum(view.p("A"), view.p("B")),
    }


def state(part: Part, view: View) -> list[str]:
    opening = view.element("compensator", "opening")
    relieving = view.element("limit", "opening") > 0.0
    short = np.zeros(view.variants, dtype=bool)
    if part.says(SHARING):
        wanted = np.asarray(view.value("margin")) - _compensation.BAND
        short = short | (view.p("P") - view.p("LS") < wanted)

    def word(i: int) -> str:
        place = f"at {view.position[i]}"
        if view.position[i] in (part.rest, "float"):
            return place
        if relieving[i]:
            return f"{place}, at its limit"
        if part.says(SHARING):
            return f"{place}, sharing short flow" if short[i] else f"{place}, metering"
        return f"{place}, short of flow" if opening[i] > 0.98 else f"{place}, metering"

    return view.words(word)


KINDS = (
    Kind(
        word="section",
        text="Proportional section of a load-sensing bank. Pre-compensated: its compensator "
        "before the spool keeps the drop over it, its own signal is vented to tank at centre. "
        "Flow sharing: the compensator behind the metering edge keeps all sections at the "
        "common signal (their LS ports joined), so that they share a flow that falls short.",
        ports=fixed_ports(
            Port("P", PortKind.PRESSURE, "supply"),
            Port("T", PortKind.RETURN, "to tank"),
            Port("A", PortKind.WORK, "work port A"),
            Port("B", PortKind.WORK, "work port B"),
            Port("LS", PortKind.SENSE, "load signal"),
        ),
        parameters=(
            Parameter(
                "flow", "flow", "L/min", "flow at full travel", bare=True, needed=True, least=1e-8
            ),
            Parameter(
                "spring",
                "pressure",
                "bar",
                "drop that the compensator keeps; behind the spool its spring",
                least=1e4,
                most=100 * BAR,
            ),
            Parameter(
                "margin",
                "pressure",
                "bar",
                "supply over load signal at which the full flow is metered",
                least=2 * BAR,
                most=100 * BAR,
            ),
            Parameter("limit", "pressure", "bar", "pressure limit of the section", least=1e5),
            Parameter("limit A", "pressure", "bar", "pressure limit of port A", least=1e5),
            Parameter("limit B", "pressure", "bar", "pressure limit of port B", least=1e5),
            Parameter(
                "overlap",
                "share",
                "%",
                "travel before an edge opens",
                default=0.0,
                least=0.0,
                most=0.5,
                source="dead zone taken up by the control; own choice",
            ),
            Parameter(
                "closing",
                "share",
                "%",
                "travel at which the paths of the centre are shut",
                default=0.2,
                least=0.01,
                most=1.0,
            ),
            Parameter(
                "pick-up",
                "length",
                "mm",
                "bore of the signal passage",
                least=1e-4,
                most=2e-2,
            ),
            Parameter(
                "bleed",
                "flow",
                "L/min",
                "flow at 100 bar from the common signal to tank, flow sharing",
                default=0.1 * L_MIN,
                least=1e-9,
                source="0.5 to 1 L/min for a bank; common practice, no source",
            ),
            leakage_parameter(0.02 * L_MIN),
            *pressure_data(),
        ),
        choices=(
            Choice("compensation", (BEFORE, SHARING), default=BEFORE),
            Choice("centre", tuple(SPOOLS), default="closed centre"),
            Choice("fourth", (FLOAT,)),
            Choice(
                "actuation",
                ("lever", "solenoids a and b", "proportional", "pilot operated", "spring centred"),
                many=True,
            ),
        ),
        positions=positions,
        rest=_spools.rest,
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "metered flow"),
            Result("pressure", "pressure", "load signal"),
            Result("margin", "pressure", "supply over load signal"),
            Result("drop", "pressure", "supply over work port"),
        ),
        law_text=(
            "spool edges: q = k x root(dp), x = travel beyond the lap",
            "pre-compensated: a compensator before the spool keeps the drop over its edge at its "
            "setting, band 2 bar: half open at the setting",
            "flow sharing: a compensator behind the edge raises the pressure behind it to "
            "the highest load signal, so that all edges have one drop",
        ),
        sources=(
            "compensator keeps the drop over the spool; textbook form, from memory",
            "before the spool its setting is the drop it keeps half open, flow forces in its "
            "band; common practice, no source",
            "behind the spool it keeps all metering edges at one drop; textbook form, from memory",
        ),
    ),
)
