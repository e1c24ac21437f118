"""Accumulator: stores oil behind gas, a spring or a weight, and gives it back."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import capacity, circle, pressure_rating
from circuitcheck.components._gas import real_gas, warmed_charge
from circuitcheck.components._parts import (
    Choice,
    Figures,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
    Result,
    fixed_ports,
)
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.storage import ATMOSPHERE
from circuitcheck.laws.view import View

SPRING, WEIGHT = "spring loaded", "weight loaded"

PLAY = 2e-3
"""Rise of the pressure of a weight-loaded accumulator from empty to full, as a share of it;
own choice, so small that it only settles how much oil it holds."""

STILL = 1e-4 * L_MIN
"""Flow under which an accumulator counts as at rest [m3/s]; own choice."""


def by_gas(part: Part) -> bool:
    return part.choices.get("separator") not in (SPRING, WEIGHT)


def charge(figures: Net | View, real: bool) -> Array:
    """Absolute gas pressure without oil at the temperature of the gas [Pa]."""
    filled = np.asarray(figures.value("precharge")) + ATMOSPHERE
    return warmed_charge(
        np.broadcast_to(filled, (figures.variants,)),
        np.broadcast_to(np.asarray(figures.value("precharge temperature")), (figures.variants,)),
        np.broadcast_to(np.asarray(figures.value("gas temperature")), (figures.variants,)),
        real,
    )


def spring_ends(part: Part, figures: Net | View) -> tuple[Array, Array]:
    """Pressures of a spring- or weight-loaded one, empty and full [Pa]."""
    if part.says(SPRING):
        return np.asarray(figures.value("spring from")), np.asarray(figures.value("spring to"))
    steady = np.asarray(figures.value("weight")) / circle(figures.value("ram"))
    return steady * (1.0 - 0.5 * PLAY), steady * (1.0 + 0.5 * PLAY)


def is_real(part: Part) -> bool:
    return part.says("real gas") and not part.given("gas exponent")


def coefficients(part: Part, figures: Net | View) -> dict[str, Value]:
    """Coefficients of the store law for this part."""
    if not by_gas(part):
        low, high = spring_ends(part, figures)
        return {"swept": figures.value("volume"), "low": low, "high": high}
    real = is_real(part)
    fast = not part.says("isothermal")
    start = charge(figures, real)
    found: dict[str, Value] = {"volume": figures.value("volume"), "charge": start}
    if not real:
        given = figures.value_of("gas exponent")
        return found | {"exponent": (1.4 if fast else 1.0) if given is None else given}
    warm = np.broadcast_to(np.asarray(figures.value("gas temperature")), start.shape)
    return found | dict(real_gas(start, warm, fast))


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    found = []
    separator = part.choices.get("separator", "")
    wanted = {SPRING: ("spring from", "spring to"), WEIGHT: ("weight", "ram")}.get(separator, ())
    for name in wanted:
        if name not in part.figures:
            found.append((name, f"{part.name} ({separator}) needs '{name}'", f"write {name} ..."))
    low, high = part.figures.get("spring from"), part.figures.get("spring to")
    if low and high and low.value >= high.value:
        found.append(
            (
                "spring to",
                f"the spring of {part.name} does not rise: {low.text} empty, {high.text} full",
                "a spring pushes more the more oil there is",
            )
        )
    volume, start = part.figures.get("volume"), part.figures.get("at start")
    if volume and start and start.value >= volume.value:
        found.append(
            (
                "at start",
                f"{part.name} cannot hold {start.text} of oil; its volume is {volume.text}",
                "'at start' is the oil in it when the first step begins",
            )
        )
    rated, gas = part.figures.get("rated"), part.figures.get("precharge")
    if rated and gas and gas.value >= rated.value:
        found.append(
            (
                "precharge",
                f"the precharge {gas.text} of {part.name} is not below its rating {rated.text}",
                "the precharge is 0.9 of the lowest working pressure at most",
            )
        )
    return found


def stores(part: Part) -> bool:
    """Whether enough is known to say what oil it takes in."""
    return not by_gas(part) or part.figure("precharge") is not None


def equations(part: Part, net: Net) -> None:
    if not net.joined("P") or not stores(part):
        return
    port = "P"
    if net.value_of("flow") is not None:
        port = net.inner("oil side")
        net.orifice("poppet", "P", port, capacity(net, net.value("flow"), net.value("drop")))
    net.store("oil", port, **coefficients(part, net))


def results(part: Part, view: View) -> dict[str, Figures]:
    found = {"pressure": view.p("P"), "flow": view.q("P")}
    if "P" not in view.pressures or not stores(part):
        return found
    flow, able = view.element("oil"), view.element("oil", "held")
    held = np.where(view.duration > 0.0, able, view.stored)
    found |= {"oil at start": view.stored, "oil": held, "holds": able}
    found["flow"] = flow
    if by_gas(part):
        found["gas volume"] = np.asarray(view.value("volume")) - held
        found["precharge warm"] = charge(view, is_real(part)) - ATMOSPHERE
    elif part.says(WEIGHT):
        found["stroke"] = held / circle(view.value("ram"))
    return found


def state(part: Part, view: View) -> list[str]:
    if not stores(part):
        return ["at line pressure"] * view.variants
    flow, able = view.element("oil"), view.element("oil", "held")
    held = np.where(view.duration > 0.0, able, view.stored)
    volume = np.broadcast_to(np.asarray(view.value("volume")), held.shape)

    def word(i: int) -> str:
        if flow[i] > STILL:
            return "charging"
        if flow[i] < -STILL:
            return "giving oil"
        if held[i] <= 1e-4 * volume[i]:
            return "empty"
        return "full" if held[i] >= 0.999 * volume[i] else "at rest"

    return view.words(word)


KINDS = (
    Kind(
        word="accumulator",
        text="Accumulator. Over a step with a duration it takes in or gives oil until it has the "
        "pressure of its line at the end of the step; in a step without one, no flow. The "
        "gas follows one curve from its precharge, slow or fast; what heat it loses between "
        "steps is not followed.",
        ports=fixed_ports(Port("P", PortKind.WORK, "oil")),
        parameters=(
            Parameter(
                "volume",
                "volume",
                "L",
                "gas volume when empty of oil; oil it holds, of spring and weight",
                bare=True,
                needed=True,
                least=1e-6,
                most=100.0,
            ),
            Parameter(
                "precharge",
                "pressure",
                "bar",
                "gas pressure without oil",
                least=0.0,
                most=600 * BAR,
                at=Parameter(
                    "precharge temperature",
                    "temperature",
                    "degC",
                    "temperature at which the precharge was filled",
                    default=20.0,
                    least=-40.0,
                    most=100.0,
                ),
            ),
            Parameter(
                "gas temperature",
                "temperature",
                "degC",
                "temperature of the gas at its precharge, at work",
                default=20.0,
                least=-40.0,
                most=100.0,
            ),
            Parameter(
                "gas exponent",
                "ratio",
                "",
                "ideal gas of this exponent: 1 slow, 1.4 fast",
                least=1.0,
                most=2.5,
            ),
            Parameter(
                "flow",
                "flow",
                "L/min",
                "flow of its oil port",
                least=1e-8,
                at=Parameter(
                    "drop",
                    "pressure",
                    "bar",
                    "drop of that flow",
                    default=5 * BAR,
                    least=1.0,
                ),
            ),
            Parameter("spring from", "pressure", "bar", "pressure when empty", least=1.0),
            Parameter("spring to", "pressure", "bar", "pressure when full", least=1.0),
            Parameter("weight", "force", "kN", "weight on the ram", least=1.0),
            Parameter("ram", "length", "mm", "diameter of the ram", least=1e-3, most=5.0),
            Parameter("at start", "volume", "L", "oil in it when the first step begins", least=0.0),
            pressure_rating(),
        ),
        choices=(
            Choice("separator", ("bladder", "piston", "diaphragm", SPRING, WEIGHT)),
            Choice("process", ("adiabatic", "isothermal"), default="adiabatic"),
            Choice("gas", ("real gas", "ideal gas"), default="real gas"),
            Choice("safety", ("bleed valve", "hand bleed"), many=True),
        ),
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        measures=(
            Result("pressure", "pressure", "oil pressure, at the end of the step"),
            Result("flow", "flow", "mean flow into it over the step"),
            Result("oil", "volume", "oil in it at the end of the step"),
            Result("oil at start", "volume", "oil in it when the step begins"),
            Result("holds", "volume", "oil it would hold at this pressure, given time"),
            Result("gas volume", "volume", "volume of the gas at the end of the step"),
            Result("precharge warm", "pressure", "precharge at the temperature of the gas"),
            Result("stroke", "length", "place of the ram above empty"),
        ),
        law_text=(
            "p0 V0^n = p V^n with absolute pressures (polytropic gas), oil held = V0 - V",
            "over a step: oil held = oil at its start + mean flow x duration",
            "poppet, where its flow is given: q = k root(dp)",
        ),
        sources=(
            "p V^n constant, textbook; nitrogen: shared/fluids/nitrogen.csv (CoolProp 8.0)",
            "isothermal over about 3 minutes, adiabatic for seconds: common practice, no source",
        ),
    ),
)
