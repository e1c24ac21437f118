"""Rules on settings of pressure valves against the pressures that the steps bring."""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.components._pump_controls import is_loop
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import actuators, commanded, moves, sides
from circuitcheck.rules._pumps import charges_loop, guards, is_controlled
from circuitcheck.rules._rule import Needs, Outcome, Rule


def relief_set_needlessly_high(case: Case) -> Iterator[Outcome]:
    """Relief valve set far above what the work needs.

    What is checked
        For every relief valve of a pump without a pressure control: its setting against 1.5
        times the highest pressure of the pump in any step.

    Why it matters on the machine
        The right pressure is the lowest that does the job; what stalls is pushed with all of
        the rest. Too high is the commonest maladjustment.

    What to do
        Lower the setting to about 1.1 times the hardest step.

    Limits of this rule
        Only what the steps written down ask is known; a stall that is wanted must be a step.
        Settings under 50 bar, closed loops and circuits with accumulators are let pass.

    Source
        US Army TM 5-3810-293-14P-2, single page; settings usually too high: trade article
    """
    factor, least = case.limit("factor"), case.limit("judged_above")
    for pump in case.of_kind("pump"):
        other = is_loop(pump) or charges_loop(case, pump) or case.of_kind("accumulator")
        if is_controlled(pump) or other or not case.points:
            continue
        point = max(case.points, key=lambda p: p.parts[pump.name].values["pressure"])
        needed = point.parts[pump.name].values["pressure"]
        for relief in guards(case, pump):
            setting = relief.figure("set") or 0.0
            if setting > max(factor.value * needed, least.value):
                yield case.finding(
                    f"{relief.name} is set {case.bar(setting)}; the hardest step, "
                    f"{point.step.name}, needs {case.bar(needed)} of {pump.name}: "
                    f"{case.bar(1.1 * needed)} would do ({factor.origin})",
                    relief,
                    step=point.step.name,
                    numbers=(
                        Number("setting", setting, "pressure"),
                        Number("needed", needed, "pressure"),
                    ),
                )


BACK = {
    "relief": ("T", ("external drain", "remote port")),
    "counterbalance": ("V", ("vented", "balanced")),
}
"""Port behind a valve whose pressure adds to its setting, and the words that keep it off."""


def back_pressure_shifts_setting(case: Case) -> Iterator[Outcome]:
    """Back pressure that shifts a setting.

    What is checked
        In every solved step in which it passes oil: the pressure behind every relief valve and
        counterbalance valve whose spring chamber is not vented, against 5 % of its setting.
        At a counterbalance valve it counts (1 + pilot ratio) times: advice above 50 %.

    Why it matters on the machine
        A narrow return raises the protection silently; a counterbalance valve hangs.

    What to do
        A larger return, a tank line of its own, or the vented type.

    Limits of this rule
        Less than 3 bar are let pass. Only steps in which the valve passes oil are judged.

    Source
        back pressure adds to the setting, (1 + ratio) times: general notes on valves
    """
    share, least, held = case.limit("share"), case.limit("least"), case.limit("share_holding")
    for valve in case.of_kind(*BACK):
        port, vented = BACK[valve.kind.word]
        setting = valve.figure("set")
        if setting is None or any(valve.says(word) for word in vented):
            continue
        ratio = (valve.figure("pilot") or 0.0) if valve.kind.word == "counterbalance" else 0.0
        found = []
        for point in case.points:
            state = point.parts[valve.name]
            behind = state.ports[port].pressure if port in state.ports else math.nan
            through = abs(state.values["flow"]) > 1e-5 / 60
            if valve.kind.word == "counterbalance":
                through = through and state.values["drop"] > 0.0
            if through and behind > least.value:
                found.append(((1.0 + ratio) * behind, behind, point))
        if not found:
            continue
        shift, behind, point = max(found, key=lambda entry: entry[0])
        holding = valve.kind.word == "counterbalance"
        if shift > (held if holding else share).value * setting:
            yield case.finding(
                f"{valve.name} acts at {case.bar(setting + shift)} instead of "
                f"{case.bar(setting)}: {case.bar(behind)} stands behind it in step "
                f"{point.step.name}",
                valve,
                severity=Severity.ADVICE if holding else Severity.WARNING,
                port=port,
                step=point.step.name,
                numbers=(
                    Number("back pressure", behind, "pressure"),
                    Number("shift", shift, "pressure"),
                ),
            )


def sequence_order_uncertain(case: Case) -> Iterator[Outcome]:
    """Sequence valve that may open early, or never.

    What is checked
        In every solved step in which a sequence valve passes no oil while an actuator moves:
        is the pressure at its inlet within 10 % of its setting? And is the setting within
        10 % of the highest pressure its pump can bring?

    Why it matters on the machine
        The order of the motions is then luck, and changes with the oil temperature.

    What to do
        Raise the setting, or switch on position instead of pressure.

    Limits of this rule
        Where safety depends on the order, no pressure decides it well enough: sense the
        position.

    Source
        common practice, no source; ISO 4413 on sequences by position, from memory
    """
    distance = case.limit("distance")
    for valve in case.of_kind("sequence"):
        setting = valve.figure("set")
        if setting is None:
            continue
        for point in case.points:
            state = point.parts[valve.name]
            asked = [a for a in actuators(case) if commanded(case, a, point.step)]
            moving = any(moves(case, a, point.step) for a in asked)
            inlet = state.ports["P"].pressure
            shut = abs(state.values["flow"]) < 1e-6
            if moving and shut and inlet > (1.0 - distance.value) * setting:
                yield case.finding(
                    f"sequence valve {valve.name} at {case.bar(setting)}: the motion of step "
                    f"{point.step.name} already needs {case.bar(inlet)}, the next one may "
                    f"start early ({distance.origin})",
                    valve,
                    step=point.step.name,
                    numbers=(Number("pressure of the first motion", inlet, "pressure"),),
                )
                break


def reducing_valve_starved(case: Case) -> Iterator[Outcome]:
    """Reducing valve that gets less than it is set to.

    What is checked
        In every solved step in which an actuator behind a reducing valve is asked to move or
        to hold: is the inlet of the valve below its setting?

    Why it matters on the machine
        It can only lower a pressure: the clamp has what the supply has.

    What to do
        Raise the supply in that step, or change the order of the motions.

    Limits of this rule
        A branch that moves under a light load needs no more than it gets; only where the
        inlet stands below the setting and the actuator stands still is it told.

    Source
        common practice, no source
    """
    for valve in case.of_kind("reducing valve"):
        outlet = case.network.at(valve.name, "A")
        if outlet is None:
            continue
        for state in case.facts.steps:
            step = state.step
            point = case.point(step.name) if step is not None else None
            if step is None or point is None:
                continue
            setting = case.orders(step, valve.name).figures.get("set")
            wanted = valve.figure("set") if setting is None else setting.value
            ports = point.parts[valve.name].ports
            if wanted is None or ports["P"].pressure >= wanted:
                continue
            served = case.facts.supplied_from(outlet, state)
            waiting = [
                a for a in actuators(case)
                if any(case.network.at(a.name, port) in served for port in sides(a))
                and (commanded(case, a, step) or "at end stop" in case.orders(step, a.name).words)
                and not moves(case, a, step)
            ]  # fmt: skip
            if waiting:
                yield case.finding(
                    f"{valve.name} is set {case.bar(wanted)} but gets "
                    f"{case.bar(ports['P'].pressure)} in step {step.name}; {waiting[0].name} "
                    f"has {case.bar(ports['A'].pressure)}",
                    valve,
                    step=step.name,
                    numbers=(Number("inlet", ports["P"].pressure, "pressure"),),
                )
                break


def crossport_relief_too_close(case: Case) -> Iterator[Outcome]:
    """Crossport relief valve near the working pressure of its motor.

    What is checked
        For every crossport relief valve: its setting against 1.1 times the greatest drop over
        the motor between its lines in any solved step.

    Why it matters on the machine
        It leaks across: torque is lost and the loop gets hot, and it is hard to find.

    What to do
        Set it 10 to 20 % over the working pressure, below the lowest rating.

    Limits of this rule
        A step in which the motor is stopped by its load on purpose is left out where it is
        said to stand.

    Source
        common practice, no source
    """
    factor = case.limit("factor")
    for relief in case.of_kind("crossport relief"):
        setting = relief.figure("set")
        if setting is None:
            continue
        for motor in _between(case, relief):
            found = [
                (abs(p.parts[motor.name].values["drop"]), p)
                for p in case.points
                if "at standstill" not in case.orders(p.step, motor.name).words
                and moves(case, motor, p.step)
            ]
            if not found:
                continue
            drop, point = max(found, key=lambda pair: pair[0])
            if setting < factor.value * drop:
                yield case.finding(
                    f"crossport relief {relief.name} at {case.bar(setting)}: {motor.name} works "
                    f"at {case.bar(drop)} in step {point.step.name}; it will leak across "
                    f"({factor.origin})",
                    relief,
                    step=point.step.name,
                    numbers=(Number("working drop", drop, "pressure"),),
                )


def _between(case: Case, relief: Part) -> list[Part]:
    """Motors between the two lines of a crossport relief valve."""
    found: list[set[str]] = []
    for port in ("A", "B"):
        junction = case.network.at(relief.name, port)
        region = case.facts.region(junction).found if junction is not None else ()
        ends = [end for name in region for end in case.circuit.neighbours(name)]
        found.append({end.part for end in ends if end.port in ("A", "B")})
    names = sorted(found[0] & found[1])
    parts = [case.circuit.parts[name] for name in names]
    return [part for part in parts if part.kind.word == "motor"]


RULES = (
    Rule("relief-set-needlessly-high", Severity.ADVICE, relief_set_needlessly_high, Needs.NUMBERS),
    Rule(
        "back-pressure-shifts-setting",
        Severity.WARNING,
        back_pressure_shifts_setting,
        Needs.NUMBERS,
    ),
    Rule("sequence-order-uncertain", Severity.WARNING, sequence_order_uncertain, Needs.NUMBERS),
    Rule("reducing-valve-starved", Severity.WARNING, reducing_valve_starved, Needs.NUMBERS),
    Rule("crossport-relief-too-close", Severity.WARNING, crossport_relief_too_close, Needs.NUMBERS),
)
