"""Rules on closed loops: reliefs, make-up oil, charge pressure and flow, flushing."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.components._pump_controls import is_loop
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import always_open
from circuitcheck.rules._pumps import charges_loop, loop_guards, theoretical_flow
from circuitcheck.rules._rule import Needs, Outcome, Rule

SIDES = ("A", "B")


def loop_relief_missing(case: Case) -> Iterator[Outcome]:
    """Side of a closed loop without a relief valve.

    What is checked
        Both main lines of every closed loop: is there an always-open way to a relief valve
        to the other side, to the charge line or to tank?

    Why it matters on the machine
        When the load drives the motor it becomes a pump: either side can be the high one.

    What to do
        Fit crossport relief valves for both directions.

    Limits of this rule
        Reliefs built into the pump count only if the text gives them as parts.

    Source
        crossover reliefs in travel circuits: US Army TM 5-3805-281-24-1, single page
    """
    for pump, side, junction in _loops(case):
        if not loop_guards(case, junction):
            yield case.finding(
                f"side {side} of the loop of {pump.name} has no relief valve", pump, port=side
            )


def loop_make_up_missing(case: Case) -> Iterator[Outcome]:
    """Side of a closed loop that cannot be filled up.

    What is checked
        Both main lines of every closed loop: does a check valve lead in from a charge pump or
        from a tank?

    Why it matters on the machine
        What leaks through the cases of pump and motor leaves the loop for good: the low side
        runs empty and the brake is gone.

    What to do
        A charge pump, a charge relief and a check valve to each side.

    Limits of this rule
        Checks built into the pump count only if the text gives them as parts.

    Source
        make-up checks against cavitation: US Army TM 5-3805-281-24-1, single page
    """
    sources = set(case.network.tanks)
    sources |= {
        name
        for pump in case.of_kind("pump")
        if not is_loop(pump) and (name := case.network.at(pump.name, "P")) is not None
    }
    for pump, side, junction in _loops(case):
        if case.network.reach([junction], always_open, backward=True).any_of(sources) is None:
            yield case.finding(
                f"side {side} of the loop of {pump.name} cannot be filled up: no check valve "
                "leads into it",
                pump,
                port=side,
            )


def charge_flow_short(case: Case) -> Iterator[Outcome]:
    """Charge pump too small for its loop.

    What is checked
        Theoretical flow of the charge pumps against 10 % of that of the closed loop pumps
        they feed, at full stroke.

    Why it matters on the machine
        Charge pressure falls first under load; then the loop cavitates and brakes no more.

    What to do
        A larger charge pump, or a higher idle speed.

    Limits of this rule
        A share of the displacement, as the trade sizes it: leakage of worn parts at the
        lowest speed and the oil of the controls are not added up.

    Source
        10 to 20 % of displacement, common practice, no source
    """
    share = case.limit("share_of_loop")
    loops = [pump for pump in case.of_kind("pump") if is_loop(pump)]
    charging = [p for p in case.of_kind("pump") if not is_loop(p) and charges_loop(case, p)]
    flows = [theoretical_flow(case, pump) for pump in (*loops, *charging)]
    known = [flow for flow in flows if flow is not None]
    if not loops or not charging or len(known) < len(flows):
        return
    asked = share.value * sum(known[: len(loops)])
    given = sum(known[len(loops) :])
    if given < asked:
        yield case.finding(
            f"charge pump {charging[0].name} gives {case.flow(given)}; the loop of "
            f"{loops[0].name} wants {case.flow(asked)} ({case.show(share.value, 'share')} of "
            f"its flow, {share.origin})",
            charging[0],
            numbers=(Number("charge flow", given, "flow"), Number("wanted", asked, "flow")),
        )


def charge_pressure_low(case: Case) -> Iterator[Outcome]:
    """Low side of a closed loop below its charge pressure.

    What is checked
        In every solved step: the lower of the two loop pressures against 15 bar, or against
        the pressure at which the charge is said to begin.

    Why it matters on the machine
        Slippers lift, make-up checks open late; brakes and controls fed by the charge fail.

    What to do
        Set the charge relief right, find what takes the oil, look at suction and filter of
        the charge pump.

    Limits of this rule
        Steady pressures: a reversal makes a dip of its own.

    Source
        15 bar from memory; common practice
    """
    least = case.limit("least")
    for pump in (pump for pump in case.of_kind("pump") if is_loop(pump)):
        found = [
            (min(point.parts[pump.name].ports[side].pressure for side in SIDES), point)
            for point in case.points
        ]
        if not found:
            continue
        pressure, point = min(found, key=lambda pair: pair[0])
        if pressure < least.value:
            yield case.finding(
                f"low side of the loop of {pump.name} stands at {case.bar(pressure)} in step "
                f"{point.step.name} (least {case.bar(least.value)}, {least.origin})",
                pump,
                step=point.step.name,
                numbers=(Number("low side", pressure, "pressure"),),
            )


def loop_not_flushed(case: Case) -> Iterator[Outcome]:
    """Closed loop whose oil is hardly exchanged.

    What is checked
        A closed loop without a flushing valve, in which pump and motors lose more than 10 kW
        in a solved step, or which works in more than 30 degC ambient.

    Why it matters on the machine
        The same few litres get hot while the tank stays cool.

    What to do
        A flushing valve on the low side, its relief 2 to 3 bar under the charge relief.

    Limits of this rule
        Leakage through the cases exchanges some oil; how much is not weighed against the heat.

    Source
        common practice, no source
    """
    loss, ambient = case.limit("loss"), case.limit("ambient")
    for pump in (pump for pump in case.of_kind("pump") if is_loop(pump)):
        starts = [name for side in SIDES if (name := case.network.at(pump.name, side))]
        reached = case.network.reach(starts, lambda p: p.way in (Way.OPEN, Way.MOTOR))
        joined = {end.part for name in reached.found for end in case.circuit.neighbours(name)}
        if any(case.circuit.parts[name].kind.word == "flushing valve" for name in joined):
            continue
        lost = max(
            (sum(point.parts[n].loss for n in joined
                 if case.circuit.parts[n].kind.word in ("pump", "motor"))
             for point in case.points),
            default=0.0,
        )  # fmt: skip
        around = max((tank.figure("ambient") or 0.0 for tank in case.of_kind("tank")), default=0.0)
        if lost > loss.value or around > ambient.value:
            yield case.finding(
                f"oil in the loop of {pump.name} is exchanged only by leakage, against "
                f"{case.power(lost)} of loss and {case.show(around, 'temperature')} ambient",
                pump,
                numbers=(Number("loss in the loop", lost, "power"),),
            )


def loop_spring_centre_assumed(case: Case) -> Iterator[Outcome]:
    """Closed-loop pump that may start on stroke.

    What is checked
        A closed-loop pump without charge centring whose first step already asks for stroke.

    Why it matters on the machine
        It pushes oil before the loop is charged, and the machine moves as the engine starts.

    What to do
        A neutral interlock in the start circuit; confirm the spring centring.

    Limits of this rule
        Electric interlocks are not known to the language.

    Source
        common practice, no source
    """
    if not case.circuit.steps:
        return
    first = case.circuit.steps[0]
    for pump in (pump for pump in case.of_kind("pump") if is_loop(pump)):
        stroke = case.orders(first, pump.name).figures.get("at")
        if not pump.says("charge centred") and stroke is not None and stroke.value != 0.0:
            yield case.finding(
                f"{pump.name} must be at zero stroke at start; the first step, {first.name}, "
                "strokes it and nothing in the circuit enforces it",
                pump,
                step=first.name,
            )


def _loops(case: Case) -> Iterator[tuple[Part, str, str]]:
    """Closed-loop pumps with each of their sides and its junction."""
    for pump in case.of_kind("pump"):
        for side in SIDES if is_loop(pump) else ():
            junction = case.network.at(pump.name, side)
            if junction is not None:
                yield pump, side, junction


RULES = (
    Rule("loop-relief-missing", Severity.ERROR, loop_relief_missing),
    Rule("loop-make-up-missing", Severity.ERROR, loop_make_up_missing),
    Rule("charge-flow-short", Severity.WARNING, charge_flow_short),
    Rule("charge-pressure-low", Severity.ERROR, charge_pressure_low, Needs.NUMBERS),
    Rule("loop-not-flushed", Severity.WARNING, loop_not_flushed, Needs.NUMBERS),
    Rule("loop-spring-centre-assumed", Severity.ADVICE, loop_spring_centre_assumed),
)
