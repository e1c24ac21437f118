"""Filter or strainer, with or without bypass."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import (
    NU_RATED,
    RHO_RATED,
    THROUGH,
    one_way_capacity,
    pressure_data,
    rated_flow,
)
from circuitcheck.components._parts import Figures, Kind, Parameter, Part, Result, fixed_ports
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

VISCOUS_SHARE = 0.7
"""Share of the rated drop that the element makes and viscosity scales; own choice."""

BYPASS_BAND = 0.5 * BAR


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    shows, opens = part.figures.get("indicator"), part.figures.get("bypass")
    if shows and opens and shows.value >= opens.value:
        return [
            (
                "indicator",
                f"the indicator of {part.name} shows at {shows.text}, its bypass opens at "
                f"{opens.text} already",
                "an indicator shows before the bypass opens",
            )
        ]
    return []


def clogging(view: Net | View) -> Array:
    """How many times its clean drop the element takes, at equal flow and oil."""
    own = view.value_of("clogged")
    return view.order_of("clogged", 1.0 if own is None else own)


def equations(part: Part, net: Net) -> None:
    flow, drop = np.asarray(net.value("flow")), np.asarray(net.value("drop"))
    given = net.value_of("element share")
    element = np.asarray(VISCOUS_SHARE if given is None else given)
    r1 = element * drop / flow * net.oil.nu / NU_RATED * clogging(net)
    r2 = (1.0 - element) * drop / flow**2 * net.oil.rho / RHO_RATED
    net.resistor("element", "in", "out", r1, r2)
    bypass = net.value_of("bypass")
    if bypass is not None:
        net.modulated(
            "bypass",
            "in",
            "out",
            k=one_way_capacity(net, net.value("flow"), np.asarray(bypass) + BYPASS_BAND),
            opened_by={"in": 1.0, "out": -1.0},
            offset=-np.asarray(bypass),
            band=BYPASS_BAND,
        )


def results(part: Part, view: View) -> dict[str, Figures]:
    found: dict[str, Figures] = {
        "flow": view.q("in"),
        "drop": view.p("in") - view.p("out"),
        "bypass flow": view.element("bypass"),
    }
    beta = view.value_of("beta")
    if beta is not None:
        held = np.broadcast_to(1.0 - 1.0 / np.asarray(beta), (view.variants,))
        through = np.where(found["flow"] > 0.0, found["flow"], np.nan)
        found["efficiency"] = held
        found["held back"] = held * (1.0 - found["bypass flow"] / through)
    return found


def state(part: Part, view: View) -> list[str]:
    past = view.element("bypass", "opening")
    drop = view.p("in") - view.p("out")
    shows, strength = (view.value_of(name) for name in ("indicator", "collapse"))
    marked = drop >= np.asarray(np.inf if shows is None else shows)
    broken = drop >= np.asarray(np.inf if strength is None else strength)

    def word(i: int) -> str:
        if broken[i]:
            return "element collapses"
        if past[i] > 0.0:
            return "bypassing"
        return "indicator shows" if marked[i] else "filtering"

    return view.words(word)


def _kind(word: str, text: str, flow: float, drop: float) -> Kind:
    return Kind(
        word=word,
        text=text,
        ports=fixed_ports(*THROUGH),
        parameters=(
            Parameter(
                "fineness",
                "length",
                "um",
                "fineness of the element",
                bare=True,
                least=1e-7,
                most=2e-3,
            ),
            rated_flow(flow, drop, "flow at which the clean drop holds, 32 mm2/s"),
            Parameter("bypass", "pressure", "bar", "drop at which the bypass opens", least=1e3),
            Parameter(
                "indicator", "pressure", "bar", "drop at which the indicator shows", least=1e3
            ),
            Parameter("collapse", "pressure", "bar", "strength of the element", least=1e4),
            Parameter(
                "clogged",
                "ratio",
                "",
                "times the clean drop of the element; clean unless said",
                least=1.0,
                most=1e4,
            ),
            Parameter(
                "element share",
                "share",
                "%",
                "share of the clean drop that the element takes",
                least=0.01,
                most=1.0,
            ),
            Parameter(
                "beta", "ratio", "", "particles before over behind, at its fineness", least=1.0
            ),
            *pressure_data(),
        ),
        orders=(
            Parameter(
                "clogged", "ratio", "", "times the clean drop, in this step", least=1.0, most=1e4
            ),
        ),
        through=("in", "out"),
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("flow", "flow", "flow"),
            Result("drop", "pressure", "drop"),
            Result("bypass flow", "flow", "flow past the element"),
            Result("efficiency", "share", "share of particles that the element holds back"),
            Result("held back", "share", "the same with what goes past in the bypass"),
        ),
        law_text=(
            "element: dp = r1 q, r1 = share x rated drop/rated flow x nu/nu rated x clogging",
            "housing: dp = r2 q^2, r2 = (1 - share) x rated drop/rated flow^2 x rho/rho rated",
            "bypass opens at its cracking pressure",
        ),
        sources=(
            "element drop grows with viscosity, housing drop with density: from memory",
            "efficiency = 1 - 1/beta: ISO 16889, from memory",
        ),
    )


KINDS = (
    _kind("filter", "Filter; the rated drop is that of a clean element.", 60.0, 0.5),
    _kind("strainer", "Coarse element in a suction line.", 60.0, 0.03),
)
