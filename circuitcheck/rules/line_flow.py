"""Rules on the oil that flows in lines: its speed, the drop, the regime, sudden stops."""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case, Threshold
from circuitcheck.rules._lines import CARRIES, Use, lines_for, worst
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.solver.operating import OperatingPoint


def return_line_fast(case: Case) -> Iterator[Outcome]:
    """Return line too narrow for its flow.

    What is checked
        In every solved step: the oil speed in every line that leads to a tank, against 3 m/s
        (a warning above 4.6 m/s). Suction and case lines have rules of their own.

    Why it matters on the machine
        Back pressure on valves and seals, and foam where the jet enters the tank.

    What to do
        Take the next larger bore, and a diffuser at the tank.

    Limits of this rule
        The greatest flow of the steps written down counts, however short the step is.

    Source
        3 m/s: textbook on fluid power circuits, ch. 9 (abstract); 10 to 15 ft/s: velocity
        table of the trade
    """
    advise, warn = case.limit("advise_above"), case.limit("warn_above")
    for line in lines_for(case, Use.RETURN):
        yield from _fast(case, line, "return", advise, warn.value)


def pressure_line_fast(case: Case) -> Iterator[Outcome]:
    """Pressure line too narrow for its flow.

    What is checked
        In every solved step: the oil speed in every line that is neither suction, return nor
        drain, against 4.5 m/s (a warning above 6.1 m/s, above 210 bar 7.6 m/s).

    Why it matters on the machine
        Pressure is lost to heat, and a valve that shuts makes the greater shock.

    What to do
        Take the next larger bore, unless the step is a small share of the time.

    Limits of this rule
        Own choice of the trade between cost and loss: line-drop-high says what is lost.

    Source
        4.5 m/s: textbook on fluid power circuits, ch. 9 (abstract); 15 to 20 and 20 to 25
        ft/s: velocity table of the trade
    """
    advise, usual = case.limit("advise_above"), case.limit("warn_above")
    high, above = case.limit("warn_above_high"), case.limit("high_pressure")
    for line in lines_for(case, Use.PRESSURE):
        seen = worst(case, line, "pressure")
        strong = seen is not None and seen[1] > above.value
        yield from _fast(case, line, "pressure", advise, (high if strong else usual).value)


def _fast(case: Case, line: Part, word: str, advise: Threshold, warn: float) -> Iterator[Outcome]:
    found = worst(case, line, "speed")
    if found is None or found[1] <= advise.value:
        return
    point, speed = found
    flow = abs(point.parts[line.name].values["flow"])
    needed = math.sqrt(4.0 * flow / (math.pi * advise.value))
    yield case.finding(
        f"{word} line {line.name}: {case.oil_speed(speed)} at {case.flow(flow)} in step "
        f"{point.step.name}; {case.show(needed, 'length')} bore would give "
        f"{case.oil_speed(advise.value)} ({advise.origin})",
        line,
        severity=Severity.WARNING if speed > warn else Severity.ADVICE,
        step=point.step.name,
        numbers=(Number("speed", speed, "speed"), Number("bore needed", needed, "length")),
    )


def line_drop_high(case: Case) -> Iterator[Outcome]:
    """Line that takes much of the pressure.

    What is checked
        In every solved step: the drop of every pressure line against 5 % of the highest
        pressure in that step, and against 1 bar a metre.

    Why it matters on the machine
        The drop times the flow is heat, and force is missing at the actuator.

    What to do
        Take the next larger bore, or a shorter line with fewer bends.

    Limits of this rule
        Drops under 3 bar are let pass. Lines are judged one by one, not as a chain.

    Source
        common practice, no source
    """
    share, metre, least = case.limit("share"), case.limit("per_metre"), case.limit("listed_above")
    highest = [_highest(point) for point in case.points]
    for line in lines_for(case, Use.PRESSURE):
        length = line.figure("length") or 1.0
        over = []
        for point, pressure in zip(case.points, highest, strict=True):
            drop = abs(point.parts[line.name].values["drop"])
            flow = abs(point.parts[line.name].values["flow"])
            limit = min(share.value * pressure, metre.value * length)
            if flow > CARRIES and drop > max(limit, least.value):
                over.append((drop, flow, point))
        if not over:
            continue
        drop, flow, point = max(over, key=lambda entry: entry[0])
        yield case.finding(
            f"line {line.name} loses {case.bar(drop)} at {case.flow(flow)} in step "
            f"{point.step.name}: {case.power(drop * flow)} of heat",
            line,
            step=point.step.name,
            numbers=(Number("drop", drop, "pressure"), Number("heat", drop * flow, "power")),
        )


def _highest(point: OperatingPoint) -> float:
    """Highest pressure of a step [Pa]."""
    pressures = (state.pressure for state in point.junctions.values())
    return max((p for p in pressures if not math.isnan(p)), default=0.0)


def flow_regime_uncertain(case: Case) -> Iterator[Outcome]:
    """Drop of a line that no formula is sure of.

    What is checked
        In every solved step: a line with a Reynolds number between 2000 and 4000 whose drop
        is more than 5 % of the pressure at its inlet.

    Why it matters on the machine
        Between laminar and turbulent flow the drop may be either: the number computed is one
        of two.

    What to do
        Read the pressure on the machine, or take a bore that leads away from this region.

    Limits of this rule
        Drops under 1 bar are let pass, and fittings are not told from the bore.

    Source
        limits of laminar and turbulent flow in pipes, textbook
    """
    low, high, share = case.limit("from"), case.limit("to"), case.limit("share")
    least = case.limit("listed_above")
    for line in case.of_kind("line"):
        for point in case.points:
            values = point.parts[line.name].values
            drop, number = abs(values["drop"]), values["reynolds"]
            matters = drop > max(least.value, share.value * values["pressure"])
            if low.value < number < high.value and matters:
                yield case.finding(
                    f"line {line.name} is between laminar and turbulent in step "
                    f"{point.step.name} (Reynolds number {number:.0f}): its drop of "
                    f"{case.bar(drop)} may be a third more or less",
                    line,
                    step=point.step.name,
                    numbers=(Number("reynolds", number, "ratio"), Number("drop", drop, "pressure")),
                )
                break


def surge_over_rating(case: Case) -> Iterator[Outcome]:
    """Sudden stop of the oil that a line does not stand.

    What is checked
        For every pressure line that is rated and so long that a valve closing in 20 ms stops
        its oil before the wave is back: pressure + density x wave speed x oil speed, the
        bound of a sudden stop, against its rating.

    Why it matters on the machine
        A shock of many steps a day breaks fittings that stand the working pressure.

    What to do
        Let the valve shift slowly, bring a relief valve close to it, or take a larger bore.

    Limits of this rule
        A bound, not part of the steady operating point. Lines shorter than half the way of
        the wave in the closing time are not judged.

    Source
        Joukowsky's relation, textbook, from memory
    """
    closing, wave = case.limit("closing_time"), case.limit("wave_speed")
    for line in lines_for(case, Use.PRESSURE):
        rated, length = line.figure("rated"), line.figure("length") or 0.0
        if rated is None or not line.given("rated"):
            continue
        if 2.0 * length / wave.value < closing.value:
            continue
        found = [
            (values["pressure"], point.rho * wave.value * values["speed"], point)
            for point in case.points
            for values in (point.parts[line.name].values,)
        ]
        if not found:
            continue
        pressure, rise, point = max(found, key=lambda entry: entry[0] + entry[1])
        if pressure + rise <= rated:
            continue
        speed = point.parts[line.name].values["speed"]
        yield case.finding(
            f"stopping {case.oil_speed(speed)} in {line.name} at once adds up to "
            f"{case.bar(rise)} to {case.bar(pressure)} (step {point.step.name}); rated "
            f"{case.bar(rated)}",
            line,
            step=point.step.name,
            numbers=(
                Number("rise of a sudden stop", rise, "pressure"),
                Number("rating", rated, "pressure"),
            ),
        )


def suction_hose_wrong(case: Case) -> Iterator[Outcome]:
    """Suction hose that may collapse.

    What is checked
        Every hose between a tank and a pump inlet that is not said to be suction rated: does it
        stand more than 0.1 bar under atmosphere in a solved step, one of more than 25 mm bore
        more than 0.02 bar?

    Why it matters on the machine
        The inner tube comes loose and shuts the inlet, and nothing is to be seen outside.

    What to do
        Take a hose rated for suction, with a wire helix inside, or a tube.

    Limits of this rule
        At the oil temperature of the steps; cold oil draws harder.

    Source
        suction service needs a hose that stands vacuum: appendix to a public hose standard
        (SAE J1273); figures common practice, no source
    """
    wide, vacuum, small = (
        case.limit("unsupported_bore"), case.limit("vacuum"), case.limit("vacuum_wide"),
    )  # fmt: skip
    for line in lines_for(case, Use.SUCTION):
        if line.choices.get("make") != "hose" or line.says("suction rated") or not case.points:
            continue
        bore = line.figure("bore") or 0.0
        lowest, step = min(
            (min(p.pressure for p in point.parts[line.name].ports.values()), point.step.name)
            for point in case.points
        )
        stands = small if bore > wide.value else vacuum
        if lowest < -stands.value:
            yield case.finding(
                f"suction line {line.name}, a hose of {case.show(bore, 'length')} that is not "
                f"said to be suction rated, stands {case.bar(-lowest)} under atmosphere in step "
                f"{step}: it may collapse ({stands.origin})",
                line,
                step=step,
                numbers=(Number("pressure", lowest, "pressure"),),
            )


RULES = (
    Rule("return-line-fast", Severity.ADVICE, return_line_fast, Needs.NUMBERS),
    Rule("pressure-line-fast", Severity.ADVICE, pressure_line_fast, Needs.NUMBERS),
    Rule("line-drop-high", Severity.ADVICE, line_drop_high, Needs.NUMBERS),
    Rule("flow-regime-uncertain", Severity.ADVICE, flow_regime_uncertain, Needs.NUMBERS),
    Rule("surge-over-rating", Severity.ADVICE, surge_over_rating, Needs.NUMBERS),
    Rule("suction-hose-wrong", Severity.WARNING, suction_hose_wrong, Needs.NUMBERS),
)
