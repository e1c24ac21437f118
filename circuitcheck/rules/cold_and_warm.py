"""Rules on oil that is colder or warmer than in the steps: cold starts, warming up."""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import NotChecked, Number, Severity
from circuitcheck.basics.unit_table import ATMOSPHERE
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._paths import always_open
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.rules.oil_too_hot import mean_losses, sinks_of, usual_limit
from circuitcheck.solver.operating import OperatingPoint

HEAT_OF_OIL = 1.9e3
"""Specific heat of mineral oil [J/(kg K)]; from memory."""


def inlet_starved_cold(case: Case) -> Iterator[Outcome]:
    """Pump inlet below the pressure it needs at a cold start.

    What is checked
        For every pump that draws from a tank whose ambient is given: the inlet pressure of the
        worst step, less what cold oil (as thick as at that ambient) takes more in suction
        lines, strainers and filters at the same flow, against 0.6 bar absolute.

    Why it matters on the machine
        Thick oil is the first cause of cavitation: the pump is worn by a few cold mornings.

    What to do
        A heater, thinner oil, a start at low speed, a larger suction line.

    Limits of this rule
        Laminar drop in straight lines and elements; bends are left out, and the flow is that of
        the steps.

    Source
        high viscosity and low temperature come first among the causes of cavitation:
        technician's handbook; 0.6 bar common practice, no source
    """
    least = case.limit("cold_start")
    known = [t.figure("ambient") or 0.0 for t in case.of_kind("tank") if t.given("ambient")]
    if not known or not case.points:
        return
    ambient = min(known)
    nu = float(case.circuit.oil.nu(ambient))
    for pump in case.of_kind("pump"):
        point = min(case.points, key=lambda p: p.parts[pump.name].values["inlet pressure"])
        if nu <= point.nu:
            continue
        parts = _drawn_through(case, pump)
        more = sum(_more(part, point, nu) for part in parts)
        absolute = point.parts[pump.name].values["inlet pressure"] - more + ATMOSPHERE
        limit = least.value + ATMOSPHERE
        if parts and absolute < limit:
            yield case.finding(
                f"at a start with {case.show(ambient, 'temperature')} "
                f"({case.show(nu, 'viscosity')}) the inlet of {pump.name} falls to "
                f"{case.bar(max(absolute, 0.0))} absolute (least {case.bar(limit)}, "
                f"{least.origin})",
                pump,
                port="S",
                step=point.step.name,
                numbers=(Number("inlet pressure, absolute", absolute, "pressure"),),
            )


def _drawn_through(case: Case, pump: Part) -> list[Part]:
    inlet = case.network.at(pump.name, "S")
    if inlet is None or inlet in case.network.tanks:
        return []
    reached = case.network.reach([inlet], always_open, backward=True)
    names = {p.part: None for p in reached.found.values() if p is not None}
    parts = [case.circuit.parts[name] for name in names]
    return [part for part in parts if part.kind.word in ("line", "filter", "strainer")]


def _more(part: Part, point: OperatingPoint, nu: float) -> float:
    """What cold oil takes more than the oil of the step [Pa]."""
    values = point.parts[part.name].values
    drop, flow = abs(values["drop"]), abs(values["flow"])
    if part.kind.word != "line":
        return drop * (nu / point.nu - 1.0)
    bore, length = part.figure("bore") or 1.0, part.figure("length") or 0.0
    laminar = 128.0 * point.rho * flow * length / (math.pi * bore**4)
    return laminar * (nu - point.nu)


def heats_up_before_it_matters(case: Case) -> Iterator[Outcome]:
    """Oil that grows too hot only in a long run.

    What is checked
        Where the oil would settle above 60 degC (vehicles 70 degC): the time after which it
        gets there, from the ambient of the tank, by the heat that the oil of the tank takes up
        (first order).

    Why it matters on the machine
        Short runs need no cooler, long ones do: the drawing must say how long it runs.

    What to do
        State the time of a run, with the pause after it.

    Limits of this rule
        The steel of tank and machine, which takes up heat too, is left out: it gives more time.

    Source
        balance of heat of the first order, textbook; specific heat 1.9 kJ/(kg K), from memory
    """
    mean, sinks = mean_losses(case), sinks_of(case)
    oil = sum(tank.figure("volume") or 0.0 for tank in case.of_kind("tank"))
    if mean is None or isinstance(sinks, NotChecked) or oil <= 0.0:
        return
    limit = usual_limit(case)
    settles, start = sinks.settles(mean[0]), sinks.ambient
    if settles <= limit.value or start >= limit.value:
        return
    capacity = oil * case.points[0].rho * HEAT_OF_OIL
    slow = capacity / (sinks.tanks + sinks.coolers)
    time = slow * math.log((settles - start) / (settles - limit.value))
    yield case.finding(
        f"from {case.show(start, 'temperature')} the oil reaches "
        f"{case.show(limit.value, 'temperature')} after {time / 60.0:.0f} minutes of this cycle "
        f"({limit.origin}); it settles after about {3.0 * slow / 3600.0:.1f} hours",
        case.of_kind("tank")[0],
        numbers=(Number("time to the limit", time, "time"),),
    )


RULES = (
    Rule("inlet-starved-cold", Severity.WARNING, inlet_starved_cold, Needs.NUMBERS),
    Rule("heats-up-before-it-matters", Severity.ADVICE, heats_up_before_it_matters, Needs.NUMBERS),
)
