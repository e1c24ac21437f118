"""Oil cooler: takes heat out, and a little pressure."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from circuitcheck.components._common import (
    NU_RATED,
    RHO_RATED,
    STAGNANT,
    THROUGH,
    one_way_capacity,
    pressure_data,
    rated_flow,
)
from circuitcheck.components._exchanger import PATTERNS, effectiveness, transfer_units
from circuitcheck.components._parts import (
    Caution,
    Choice,
    Figures,
    Kind,
    Parameter,
    Part,
    Result,
    fixed_ports,
)
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.storage import ATMOSPHERE
from circuitcheck.laws.view import View

Look = Callable[[str], Value | None]

VISCOUS_SHARE = 0.5
"""Share of the rated drop that viscosity scales; own choice."""

BYPASS_BAND = 0.5 * BAR
"""From opening to full opening of the bypass [Pa]; own choice."""

WATER = 998.0 * 4180.0
"""Heat capacity of water [J/(m3 K)] at 20 degC; from memory."""

AIR = 1006.0 / 287.05
"""Specific heat over gas constant of air: heat capacity a volume is this p/T; from memory."""

OIL = RHO_RATED * 1950.0
"""Heat capacity of oil at the rating [J/(m3 K)]; common practice, no source."""


def pattern(part: Part) -> str:
    """How the streams pass each other: as said, else crossed for air, opposed for water."""
    usual = "counterflow" if part.says("water cooled") else "crossflow"
    return part.choices.get("pattern", usual)


def has_streams(part: Part) -> bool:
    """Whether the flow of the coolant is known, so that both streams count."""
    return "coolant flow" in part.figures


def _coolant_heat(part: Part, degC: Array) -> Array:
    """Heat capacity of the coolant [J/(m3 K)]."""
    if part.says("water cooled"):
        return np.full(degC.shape, WATER)
    return np.asarray(AIR * ATMOSPHERE / (degC + 273.15))


def rated_conductance(part: Part, value_of: Look, coolant: Array) -> Array:
    """UA [W/K]: as given, else from the rated heat, rated flows and rated difference.

    NaN where the streams cannot carry the rated heat. Shape as ``coolant`` [degC].
    """
    given = value_of("exchange")
    if given is not None:
        return np.broadcast_to(np.asarray(given, dtype=float), coolant.shape)
    heat, difference, flow, cold_flow = (
        np.asarray(value_of(name), dtype=float)
        for name in ("heat", "difference", "flow", "coolant flow")
    )
    oil, cold = flow * OIL, cold_flow * _coolant_heat(part, coolant)
    least, most = np.minimum(oil, cold), np.maximum(oil, cold)
    return transfer_units(heat / (difference * least), least / most, pattern(part)) * least


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    exchange, heat = part.figures.get("exchange"), part.figures.get("heat")
    if not has_streams(part):
        lone = next((n for n in ("exchange", "pattern") if n in {*part.figures, *part.choices}), "")
        if not lone:
            return []
        message = f"{part.name} has no coolant flow; '{lone}' says nothing without it"
        return [(lone, message, "write, for example, coolant flow 20 L/min")]
    if exchange is not None and part.given("heat"):
        message = f"{part.name} has an exchange and a rated heat"
        return [("exchange", message, "the heat follows from the exchange; take one away")]
    if exchange is None and heat is None:
        message = f"{part.name} has a coolant flow, but neither heat nor exchange"
        return [("coolant flow", message, "write, for example, 10 kW at 30 K, or exchange 500 W/K")]
    coolant = np.array([part.figure("coolant")], dtype=float)
    if np.isnan(rated_conductance(part, part.figure, coolant)).any():
        flow, cold = part.figures["flow"].text, part.figures["coolant flow"].text
        said = heat.text if heat else ""
        water = part.says("water cooled")
        message = f"{part.name} cannot take {said}: {flow} of oil and {cold} of "
        message += "water do not carry it" if water else "air do not carry it"
        remedy = "more coolant, more oil flow, or less heat"
        return [("heat", message, remedy if water else f"{remedy}; is it water cooled?")]
    return []


def equations(part: Part, net: Net) -> None:
    flow, drop = np.asarray(net.value("flow")), np.asarray(net.value("drop"))
    given = net.value_of("core share")
    viscous = np.asarray(VISCOUS_SHARE if given is None else given)
    r1 = viscous * drop / flow * net.oil.nu / NU_RATED
    r2 = (1.0 - viscous) * drop / flow**2 * net.oil.rho / RHO_RATED
    net.resistor("core", "in", "out", r1, r2)
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


def _coolant(view: View) -> Array:
    return view.order_of("coolant", view.value("coolant"))


def heat_taken(part: Part, view: View) -> Figures | None:
    """Heat that it takes out in every step [W]; None where nothing is known of it.

    With a rated heat alone it takes at most what cools the oil that flows through it, past its
    core included, to the coolant.
    """
    over = np.maximum(view.oil.degC - _coolant(view), 0.0)
    works = np.where(view.said("off"), 0.0, 1.0)
    if has_streams(part):
        share, least, _ = _streams(part, view)
        return np.asarray(np.where(least > 0.0, share * least, 0.0) * over * works)
    heat = view.value_of("heat")
    if heat is None:
        return None
    rate = np.asarray(heat) / np.asarray(view.value("difference"))
    most = np.abs(view.q("in")) * view.oil.rho * view.oil.specific_heat
    return np.asarray(np.minimum(rate, most) * over * works)


def _streams(part: Part, view: View) -> tuple[Array, Array, Array]:
    """Effectiveness, smaller heat capacity of the streams and that of the coolant [W/K]."""
    coolant = _coolant(view)
    through = np.abs(view.element("core"))
    oil = through * view.oil.rho * view.oil.specific_heat
    flow = view.order_of("coolant flow", view.value("coolant flow"))
    cold = flow * _coolant_heat(part, coolant)
    least, most = np.minimum(oil, cold), np.maximum(oil, cold)
    some = least > 0.0
    ntu = rated_conductance(part, view.value_of, coolant) / np.where(some, least, 1.0)
    ratio = least / np.where(some, most, 1.0)
    share = effectiveness(np.minimum(ntu, 1e3), ratio, pattern(part))
    return np.where(some, share, np.nan), np.where(some, least, 0.0), cold


def warms(part: Part, view: View) -> Figures:
    taken = heat_taken(part, view)
    return np.zeros(view.variants) if taken is None else -taken


def results(part: Part, view: View) -> dict[str, Figures]:
    found = {
        "flow": view.q("in"),
        "drop": view.p("in") - view.p("out"),
        "bypass flow": view.element("bypass"),
    }
    taken = heat_taken(part, view)
    if taken is None:
        return found
    found["heat taken"] = taken
    flow = np.where(np.abs(view.q("in")) > STAGNANT, np.abs(view.q("in")), np.nan)
    found["oil out"] = view.oil.degC - taken / (flow * view.oil.rho * view.oil.specific_heat)
    if has_streams(part):
        share, _, cold = _streams(part, view)
        found["effectiveness"] = share
        found["coolant out"] = _coolant(view) + taken / np.where(cold > 0.0, cold, np.nan)
    return found


def state(part: Part, view: View) -> list[str]:
    off, past = view.said("off"), view.element("bypass", "opening")
    return view.words(lambda i: "off" if off[i] else "bypassing" if past[i] > 0.0 else "cooling")


def cautions(part: Part, view: View) -> list[tuple[Caution, ...]]:
    """A coolant flow that a step orders, where the part has none to go by."""
    if has_streams(part):
        return [()] * view.variants
    ordered = np.isfinite(view.order_of("coolant flow", np.nan))
    caution = Caution(
        "order-without-effect",
        f"the coolant flow of {part.name} has no effect; its heat goes by the difference only",
        "give the part its rated coolant flow, too",
    )
    return [(caution,) if said else () for said in ordered]


COOLANT = Parameter(
    "coolant",
    "temperature",
    "degC",
    "air or water that comes in to cool it",
    default=25.0,
    least=-60.0,
    most=80.0,
)
COOLANT_FLOW = Parameter(
    "coolant flow", "flow", "L/min", "flow of air or water that cools it", least=1e-6, most=100.0
)

KINDS = (
    Kind(
        word="cooler",
        text="Cooler. Its heat goes by the difference of oil over coolant at the inlets; with the "
        "flow of the coolant, both streams count (effectiveness and NTU).",
        ports=fixed_ports(*THROUGH),
        parameters=(
            Parameter(
                "heat",
                "power",
                "kW",
                "heat taken out at its rated flows",
                bare=True,
                least=1.0,
                most=1e8,
                at=Parameter(
                    "difference",
                    "temperature_difference",
                    "degC over ambient",
                    "oil over coolant, where they come in",
                    default=30.0,
                    least=0.1,
                    most=200.0,
                ),
            ),
            rated_flow(60.0, 0.5),
            COOLANT,
            COOLANT_FLOW,
            Parameter(
                "exchange",
                "heat_conductance",
                "W/K",
                "surface times heat transfer (UA), in place of the rated heat",
                least=0.1,
                most=1e7,
            ),
            Parameter(
                "core share",
                "share",
                "%",
                "share of the rated drop that viscosity scales; 50 % unless said",
                least=0.01,
                most=1.0,
                source="own choice",
            ),
            Parameter(
                "bypass", "pressure", "bar", "drop at which its bypass opens", least=1e3, most=1e8
            ),
            *pressure_data(),
        ),
        choices=(
            Choice("coolant", ("air cooled", "water cooled")),
            Choice("pattern", PATTERNS),
        ),
        orders=(COOLANT, COOLANT_FLOW),
        poses=("off",),
        through=("in", "out"),
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        warms=warms,
        cautions=cautions,
        measures=(
            Result("flow", "flow", "flow"),
            Result("drop", "pressure", "drop"),
            Result("bypass flow", "flow", "flow past the core"),
            Result("heat taken", "power", "heat taken out at the oil temperature of the step"),
            Result("oil out", "temperature", "oil behind it, with what went past the core"),
            Result("coolant out", "temperature", "coolant behind it"),
            Result("effectiveness", "ratio", "heat over the most that the streams allow"),
        ),
        law_text=(
            "dp = r1 q + r2 q^2 through rated flow at rated drop; r1 with viscosity, r2 "
            "with density",
            "bypass opens at its cracking pressure",
            "heat = rated heat x (oil - coolant)/rated difference, at most what cools the oil "
            "that flows through to the coolant",
            "with a coolant flow: heat = effectiveness(NTU, C_min/C_max) x C_min x "
            "(oil - coolant), NTU = UA/C_min, C = flow x density x specific heat, oil through "
            "the core only",
            "UA from rated heat and rated flows, or as given; it does not change with flow",
            "counterflow for water and crossed streams for air, unless said",
        ),
        sources=(
            "effectiveness: Incropera, table 11.3, from memory",
            "water 998 kg/m3, 4180 J/(kg K); air 1006 J/(kg K) as an ideal gas: from memory",
            "UA is taken as steady: own choice, data of the maker win",
        ),
    ),
)
