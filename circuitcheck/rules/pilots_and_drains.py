"""Rules on pilot oil and spring chambers, on walls of lines, and on leakage that decides."""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._lines import worst
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.solver.operating import HELD


def pilot_supply_missing(case: Case) -> Iterator[Outcome]:
    """Pilot-operated valve without enough pilot pressure to shift.

    What is checked
        In every solved step that orders a pilot-operated valve out of rest: its pilot pressure
        against what it asks for, else 5 bar.

    Why it matters on the machine
        With the pump unloaded there is nothing to move the main spool: the valve stays where it
        is.

    What to do
        A check of about 5 bar in P or T that keeps a pilot pressure, or a pilot supply from
        outside.

    Limits of this rule
        In the steps as solved: the valve is then computed as it stands, at rest.

    Source
        5 bar from memory; many valves ask 4.5 to 12 bar
    """
    for valve in case.of_kind("valve"):
        least = case.limit("least", valve, "pilot")
        for point in case.points:
            pilot = point.parts[valve.name].values.get("pilot pressure")
            position = case.orders(point.step, valve.name).position
            if pilot is None or not position or position == valve.rest:
                continue
            if pilot < least.value:
                yield case.finding(
                    f"{valve.name} has {case.bar(pilot)} of pilot in step {point.step.name} and "
                    f"needs {case.bar(least.value)} ({least.origin}): it cannot shift",
                    valve,
                    step=point.step.name,
                    numbers=(Number("pilot pressure", pilot, "pressure"),),
                )
                break


DRAINS = {"sequence": "Y", "reducing valve": "T"}
"""Port through which the spring chamber is drained."""


def pilot_drain_pressurised(case: Case) -> Iterator[Outcome]:
    """Spring chamber that is drained into pressure.

    What is checked
        In every solved step: the pressure at the drain of every sequence and reducing valve,
        against 10 % of its setting and 2 bar.

    Why it matters on the machine
        It adds to the spring: the setting is that much higher.

    What to do
        A drain to tank of its own.

    Limits of this rule
        Drains inside a valve to its own outlet are told by spring-chamber-drain-missing.

    Source
        back pressure is additive to the setting: general notes on valves
    """
    share, least = case.limit("share"), case.limit("vented")
    for valve in case.of_kind(*DRAINS):
        port, setting = DRAINS[valve.kind.word], valve.figure("set")
        found = [
            (ports[port].pressure, point)
            for point in case.points
            if port in (ports := point.parts[valve.name].ports)
            and not math.isnan(ports[port].pressure)
        ]
        if not found or setting is None:
            continue
        pressure, point = max(found, key=lambda pair: pair[0])
        if pressure > max(share.value * setting, least.value):
            yield case.finding(
                f"drain of {valve.name} stands at {case.bar(pressure)} in step "
                f"{point.step.name}; its setting of {case.bar(setting)} acts as "
                f"{case.bar(setting + pressure)}",
                valve,
                port=port,
                step=point.step.name,
                numbers=(Number("drain pressure", pressure, "pressure"),),
            )


def spring_chamber_drain_missing(case: Case) -> Iterator[Outcome]:
    """Sequence valve drained inside to an outlet that carries pressure.

    What is checked
        Every sequence valve said to have an internal drain: the pressure at its outlet in every
        solved step in which it passes oil, against 10 % of its setting.

    Why it matters on the machine
        The spring side is loaded with the outlet: the setting means nothing.

    What to do
        An external drain to tank.

    Limits of this rule
        An internal drain is right where the outlet goes straight to tank.

    Source
        common practice, no source
    """
    share = case.limit("share")
    for valve in case.of_kind("sequence"):
        setting = valve.figure("set")
        if setting is None or not valve.says("internal drain"):
            continue
        found = [(p.parts[valve.name].ports["A"].pressure, p) for p in case.points]
        known = [pair for pair in found if not math.isnan(pair[0])]
        if not known:
            continue
        pressure, point = max(known, key=lambda pair: pair[0])
        if pressure > share.value * setting:
            yield case.finding(
                f"{valve.name} must have an external drain: its outlet carries "
                f"{case.bar(pressure)} in step {point.step.name}",
                valve,
                step=point.step.name,
                numbers=(Number("outlet", pressure, "pressure"),),
            )


def hose_or_tube_over_rating(case: Case) -> Iterator[Outcome]:
    """Line whose wall does not stand the pressure.

    What is checked
        In every solved step: the pressure in every line whose wall and strength are given,
        against the working pressure of the wall with its safety (4 unless said).

    Why it matters on the machine
        The wall tears; the life of a hose falls steeply with every peak.

    What to do
        A thicker wall, a stronger material, or a smaller bore.

    Limits of this rule
        Straight tube without corrosion; bends are thinner outside. A rating given in the text
        is judged by pressure-over-rating.

    Source
        Barlow's formula; ratios of 4, 6 and 8: textbook on fluid power circuits, ch. 9
    """
    for line in case.of_kind("line"):
        found = worst(case, line, "pressure")
        if found is None:
            continue
        point, pressure = found
        stands = point.parts[line.name].values.get("wall pressure")
        if stands is not None and pressure > stands:
            safety = line.figure("safety") or 0.0
            yield case.finding(
                f"the wall of {line.name} is for {case.bar(stands)} with a safety of {safety:g}; "
                f"step {point.step.name} gives {case.bar(pressure)}",
                line,
                step=point.step.name,
                numbers=(
                    Number("pressure", pressure, "pressure"),
                    Number("wall stands", stands, "pressure"),
                ),
            )


def held_by_leakage(case: Case) -> Iterator[Outcome]:
    """Claimed or read pressure that only leakage decides.

    What is checked
        Every claim and reading of a pressure: in its step, is that pressure one of a closed
        volume which leakage alone decides?

    Why it matters on the machine
        The number is honest only as a bound: new and worn seals give others.

    What to do
        Give the leakage of the valves and seals round it, or take the figure as a bound.

    Limits of this rule
        Held pressures that nobody claims are marked in the tables, not told here.

    Source
        balance of leakages, see the notes on how the solver works
    """
    for claim in (*case.circuit.claims, *case.circuit.readings):
        part = case.circuit.parts.get(claim.subject)
        point = case.point(claim.step) if claim.step else None
        if point is None or claim.figure.quantity != "pressure":
            continue
        name = claim.subject
        if part is not None:
            port = claim.port or next((p.letter for p in part.ports), "")
            name = case.network.at(part.name, port) or ""
        state = point.junctions.get(name)
        if state is not None and state.status == HELD:
            yield case.finding(
                f"the pressure of {claim.subject} in step {claim.step} depends on leakage only: "
                f"{case.bar(state.pressure)} is a guess",
                part,
                step=claim.step,
                place=claim.place,
            )


RULES = (
    Rule("pilot-supply-missing", Severity.ERROR, pilot_supply_missing, Needs.NUMBERS),
    Rule("pilot-drain-pressurised", Severity.WARNING, pilot_drain_pressurised, Needs.NUMBERS),
    Rule("spring-chamber-drain-missing", Severity.ERROR, spring_chamber_drain_missing,
         Needs.NUMBERS),
    Rule("hose-or-tube-over-rating", Severity.ERROR, hose_or_tube_over_rating, Needs.NUMBERS),
    Rule("held-by-leakage", Severity.ADVICE, held_by_leakage, Needs.NUMBERS),
)  # fmt: skip
