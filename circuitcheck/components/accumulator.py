"""Accumulator: stores oil behind gas, a spring or a weight, and gives it back."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._common import capacity, circle, pressure_data
from circuitcheck.components._gas import heating, real_gas, temperature, warmed_charge
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

SQUEEZE = {"bladder": 4.0, "diaphragm": 8.0}
"""Highest pressure over precharge, absolute; common practice, no source. A piston stands any."""

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


def has_heat(part: Part) -> bool:
    """Whether the heat of the gas is followed."""
    return by_gas(part) and "heat time" in part.figures


def coefficients(part: Part, figures: Net | View) -> dict[str, Value]:
    """Coefficients of the store law for this part."""
    if not by_gas(part):
        low, high = spring_ends(part, figures)
        return {"swept": figures.value("volume"), "low": low, "high": high}
    real = is_real(part)
    fast = not part.says("isothermal") and not has_heat(part)
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
    for name in ("gas exponent", "process"):
        given = name in part.figures if name != "process" else part.says("isothermal")
        if "heat time" in part.figures and given:
            message = f"{part.name} has a heat time; the heat of its gas is followed"
            found.append((name, message, f"take the {name} away, or the heat time"))
    if "heat time" in part.figures and not by_gas(part):
        found.append(("heat time", f"{part.name} has no gas", "take the heat time away"))
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


def cautions(part: Part, view: View) -> list[tuple[Caution, ...]]:
    """Gas that is squeezed further than its separator stands."""
    separator = part.choices.get("separator", "")
    if separator not in SQUEEZE or "P" not in view.pressures or not stores(part):
        return [()] * view.variants
    ratio = (view.p("P") + ATMOSPHERE) / charge(view, is_real(part))
    limit = SQUEEZE[separator]

    def says(i: int) -> tuple[Caution, ...]:
        if not ratio[i] > limit:
            return ()
        message = (
            f"{part.name} is squeezed to {ratio[i]:.1f} times its precharge; a {separator} stands "
            f"{limit:g} times (default, common practice, no source)"
        )
        remedy = "a higher precharge, or a piston accumulator"
        return (Caution("accumulator-squeezed", message, remedy),)

    return [says(i) for i in range(view.variants)]


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
    if has_heat(part):
        start = charge(net, is_real(part))
        warm = np.broadcast_to(np.asarray(net.value("gas temperature")), start.shape)
        own = coefficients(part, net) | heating(start, warm, is_real(part))
        net.warm_store("oil", port, net.value("heat time"), **own)
        return
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
        if has_heat(part):
            wall = np.broadcast_to(np.asarray(view.value("gas temperature")), held.shape)
            theta = 1.0 + view.element("oil", "excess")
            gas = np.maximum(view.p("P") + ATMOSPHERE, charge(view, is_real(part)) * theta)
            found["gas at end"] = temperature(wall, gas, theta, is_real(part))
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
        "gas follows one curve from its precharge, slow or fast; with a heat time it warms, "
        "and cools between the steps.",
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
                "heat time",
                "time",
                "s",
                "time constant of the heat that the gas gives to its wall",
                least=0.1,
                most=1e5,
                source="10 to 60 s are usual; common practice, no source",
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
            *pressure_data(),
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
        cautions=cautions,
        measures=(
            Result("pressure", "pressure", "oil pressure, at the end of the step"),
            Result("flow", "flow", "mean flow into it over the step"),
            Result("oil", "volume", "oil in it at the end of the step"),
            Result("oil at start", "volume", "oil in it when the step begins"),
            Result("holds", "volume", "oil it would hold at this pressure, given time"),
            Result("gas volume", "volume", "volume of the gas at the end of the step"),
            Result("precharge warm", "pressure", "precharge at the temperature of the gas"),
            Result("gas at end", "temperature", "gas at the end of the step"),
            Result("stroke", "length", "place of the ram above empty"),
        ),
        law_text=(
            "p0 V0^n = p V^n with absolute pressures (polytropic gas), oil held = V0 - V",
            "with a heat time T: d theta/dt = (1 - theta)/T + kappa theta d ln(V0/V)/dt, pressure "
            "= theta x that of the slow curve; kappa 0.4, of real gas by its fast curve; gas as "
            "warm as its wall when the first step begins, heat exchanged evenly over a step",
            "over a step: oil held = oil at its start + mean flow x duration",
            "poppet, where its flow is given: q = k root(dp)",
        ),
        sources=(
            "p V^n constant, textbook; nitrogen: shared/fluids/nitrogen.csv (CoolProp 8.0)",
            "time constant of the gas: Otis and Pourmovahed 1985, from memory",
            "isothermal over about 3 minutes, adiabatic for seconds: common practice, no source",
        ),
    ),
)
