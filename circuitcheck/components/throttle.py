"""Throttle or needle valve, plain or with a free-flow check."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _edges
from circuitcheck.components._common import (
    THROUGH,
    free_flow_check,
    one_way_capacity,
    pressure_data,
    rated_flow,
)
from circuitcheck.components._parts import (
    Choice,
    Figures,
    Kind,
    Parameter,
    Part,
    Result,
    fixed_ports,
)
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View

VISCOUS = {"sharp edge": 0.0, "notch": 0.1, "long gap": 0.7}
"""Share of the drop at the rated point that is viscous; common practice, no source."""


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    edge = part.choices.get("edge", "sharp edge")
    found = {"viscous": (VISCOUS[edge], f"usual for a {edge}; common practice, no source")}
    if part.says("free-flow check"):
        found["free flow"] = (60 * L_MIN, "common practice, no source")
        found["free drop"] = (2 * BAR, "common practice, no source")
    return found


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    if part.given("diameter") and part.given("flow"):
        return [
            (
                "diameter",
                f"{part.name} is given by its flow and by an equal hole",
                "give the flow at its drop, or the diameter",
            )
        ]
    if part.given("diameter") and part.figures["viscous"].value > 0.0:
        return [
            (
                "diameter",
                f"{part.name} is part viscous and cannot be given by a sharp hole",
                "give the flow at its drop",
            )
        ]
    free = next((name for name in ("free flow", "free drop") if part.given(name)), None)
    if free and not part.says("free-flow check"):
        return [(free, f"{part.name} has no check to pass that", "add  free-flow check")]
    return []


def equations(part: Part, net: Net) -> None:
    own = net.value_of("open")
    opening = net.order("open", 1.0 if own is None else own)
    bore, viscous = net.value_of("diameter"), net.value("viscous")
    flow, drop = net.value("flow"), net.value("drop")
    if bore is not None:
        _edges.hole(net, "throttle", "in", "out", bore * opening**0.5)
    elif np.max(np.asarray(viscous)) < _edges.NEGLIGIBLE:
        _edges.rated_edge(net, "throttle", "in", "out", flow, drop, opening)
    else:
        _edges.part_viscous(net, "throttle", "in", "out", flow, drop, viscous, opening)
    if part.says("free-flow check"):
        k = one_way_capacity(net, net.value("free flow"), net.value("free drop"))
        free_flow_check(net, "check", "out", "in", k)


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"flow": view.q("in"), "drop": view.p("in") - view.p("out")}


def state(part: Part, view: View) -> list[str]:
    free = view.element("check", "opening")
    return view.words(lambda i: "check open" if free[i] > 0.0 else "metering")


def throttle(word: str, others: tuple[str, ...], text: str, check: str | None) -> Kind:
    """Make a kind of throttle; ``check`` is what is assumed of its reverse."""
    return Kind(
        word=word,
        other_words=others,
        text=text,
        ports=fixed_ports(*THROUGH),
        parameters=(
            rated_flow(10.0, 10.0, "flow at this setting"),
            Parameter("diameter", "length", "mm", "equal hole, in place of the flow", least=1e-5),
            Parameter("open", "share", "%", "share of that opening", least=0.0, most=1.0),
            Parameter(
                "viscous",
                "share",
                "%",
                "share of the drop that is viscous, at the rated point and 32 cSt",
                least=0.0,
                most=1.0,
            ),
            Parameter(
                "free flow",
                "flow",
                "L/min",
                "rated flow of the check",
                least=1e-9,
                at=Parameter("free drop", "pressure", "bar", "drop of that flow", least=BAR),
            ),
            *pressure_data(),
        ),
        choices=(
            Choice("adjusting", ("adjustable", "fixed")),
            Choice("edge", tuple(VISCOUS), default="sharp edge"),
            Choice("reverse", ("free-flow check",), default=check),
        ),
        orders=(Parameter("open", "share", "%", "opening in this step", least=0.0, most=1.0),),
        through=("in", "out"),
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(Result("flow", "flow", "flow in to out"), Result("drop", "pressure", "drop")),
        law_text=(
            "q = k opening root(dp), k from rated flow at rated drop or from the diameter",
            "with a viscous share: dp = r1 q + r2 q^2, r1 with viscosity, r2 with density",
            "free-flow check out to in where there is one",
        ),
        sources=(
            "orifice law; textbook form, from memory",
            "drop of a viscous and a turbulent term in series; textbook form, from memory",
        ),
    )


KINDS = (
    throttle(
        "throttle",
        ("needle valve",),
        "Throttle from in to out; with a free-flow check oil passes freely from out to in.",
        None,
    ),
    throttle(
        "throttle-check",
        (),
        "Throttle from in to out with a check beside it, so that oil passes freely from out to in.",
        "free-flow check",
    ),
)
