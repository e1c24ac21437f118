"""Rules on accumulators: how they are guarded and shut off, their gas, their oil."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.basics.unit_table import ATMOSPHERE
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._groups import after_stop
from circuitcheck.rules._idle import cycle_time
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import actuators, sides
from circuitcheck.rules._paths import REST, Passage, Reach, State, in_state
from circuitcheck.rules._pumps import guards_of
from circuitcheck.rules._rule import Needs, Outcome, Rule


def accumulator_no_relief(case: Case) -> Iterator[Outcome]:
    """Accumulator without a relief valve on its own side of the shut-off.

    What is checked
        From every accumulator: does an always-open way lead to a relief valve whose outlet
        is always open to tank?

    Why it matters on the machine
        Pump spikes and heat act on the shell, and the law on pressure vessels usually asks
        for a relief of its own.

    What to do
        Fit a safety block: relief valve, shut-off and bleed at the accumulator.

    Limits of this rule
        The gas side (a fire, a burst disc) is not judged; local law is.

    Source
        ISO 4413:1998 cl. 6.3 (clause list); relief and isolation example: US Army TM
        55-1905-242-14, single page
    """
    for part, junction in _accumulators(case):
        if guards_of(case, junction):
            continue
        reached = case.network.reach([junction], lambda p: p.way in (Way.OPEN, Way.CHECK))
        between = next(
            (p.part for name in reached.found for p in case.network.out[name]
             if p.way is Way.SHUT_OFF), "",
        )  # fmt: skip
        side = f" on its own side of shut-off {between}" if between else ""
        yield case.finding(f"accumulator {part.name} has no relief valve{side}", part, port="P")


def accumulator_no_shut_off(case: Case) -> Iterator[Outcome]:
    """Accumulator that cannot be shut off from the circuit.

    What is checked
        From every accumulator: does oil reach a pump or an actuator in some valve position
        without passing a hand-worked shut-off valve?

    Why it matters on the machine
        Nobody can work on the circuit, or on the accumulator, without emptying it first.

    What to do
        Fit a shut-off valve in a safety block.

    Limits of this rule
        A pilot-operated or solenoid valve does not count as a shut-off: it may leak or
        shift.

    Source
        isolate positively: university notes on safe design after ISO 4413; US Army TM
        55-1905-242-14, single page
    """
    for part, junction in _accumulators(case):
        reached = case.network.reach([junction], _any_but_shut_off)
        target = next((a for a in actuators(case) if _fed(case, a, reached)), None)
        if target is not None:
            yield case.finding(
                f"accumulator {part.name} cannot be shut off from {target.name} for service",
                part,
                port="P",
            )


def _any_but_shut_off(passage: Passage) -> bool:
    return passage.way not in (Way.SHUT_OFF, Way.AGAINST, Way.SIGNAL, Way.RELIEF, Way.CROSS)


def _fed(case: Case, actuator: Part, reached: Reach) -> bool:
    return any(case.network.at(actuator.name, port) in reached for port in sides(actuator))


def accumulator_drains_through_pump(case: Case) -> Iterator[Outcome]:
    """Accumulator that can drive a pump backwards.

    What is checked
        From every accumulator: does oil reach the outlet of a pump past no check valve?

    Why it matters on the machine
        At stop the stored oil turns the pump backwards and runs to tank through it.

    What to do
        Fit a check valve at the pump outlet; it steadies a pressure-compensated pump too.

    Limits of this rule
        The outlets of hand pumps are taken to have their own checks.

    Source
        check keeps the oil of the accumulator from the pump: general notes on accumulators
    """
    ways = (Way.OPEN, Way.CHECK, Way.THROTTLE, Way.SHUT_OFF)
    for part, junction in _accumulators(case):
        reached = case.network.reach([junction], lambda passage: passage.way in ways)
        for pump in case.of_kind("pump"):
            if case.network.at(pump.name, "P") in reached:
                yield case.finding(
                    f"at stop, {part.name} drives {pump.name} backwards: no check valve "
                    "stands between them",
                    part,
                    port="P",
                )


def accumulator_not_drained_by_emergency_stop(case: Case) -> Iterator[Outcome]:
    """Accumulator that can move an actuator after an emergency stop.

    What is checked
        In every state in which an emergency stop can leave the valves (those with springs at
        rest, those with detents in any position they keep): can oil of an accumulator still
        reach an actuator that can give its oil to tank?

    Why it matters on the machine
        The stop of the drive does not stop what is stored: the machine moves on.

    What to do
        Shut the accumulator off, or let it down, in that state. One that holds a clamp or a
        brake on purpose is accepted with that reason.

    Limits of this rule
        Of valves with detents, 81 states together are looked at: four of three positions.

    Source
        university notes on safe design after ISO 4413; ISO 12100 and ISO 13850, from memory
    """
    for part, junction in _accumulators(case):
        found = () if part.says("bleed valve") else _still_moved(case, junction)
        for actuator, state in found:
            where = "all valves at rest" if state is REST else f"{state.label}"
            yield case.finding(
                f"with the drive off and {where}, {part.name} can still move {actuator.name}",
                part,
                port="P",
            )
            break


def _still_moved(case: Case, junction: str) -> Iterator[tuple[Part, State]]:
    """Actuators that an accumulator can move after a stop, with the state of the valves."""
    valves = [part for part in case.circuit.parts.values() if len(part.positions) > 1]
    for state in after_stop(valves):
        if junction in case.facts.vented(state):
            continue
        reached = case.network.reach([junction], in_state(case.circuit, state))
        for actuator in actuators(case):
            if _fed(case, actuator, reached) and _can_move(case, actuator, reached, state):
                yield actuator, state


def _can_move(case: Case, actuator: Part, reached: Reach, state: State) -> bool:
    """Whether one side gets oil while the other, if there is one, can empty."""
    joined = [case.network.at(actuator.name, port) for port in sides(actuator)]
    others = [name for name in joined if name not in reached]
    drained = case.facts.drained(state)
    return not others or any(name in drained for name in others)


def precharge_outside(case: Case) -> Iterator[Outcome]:
    """Precharge that does not suit the working pressures.

    What is checked
        The precharge of every gas accumulator, at the gas temperature of its work, against
        90 % of the lowest and 25 % of the highest pressure that the steps bring (the latter
        for bladder and diaphragm types).

    Why it matters on the machine
        Too high: the bladder meets its poppet at each stroke and little oil is stored. Too
        low: it is crushed.

    What to do
        Set it with a gas gauge, with the oil side empty.

    Limits of this rule
        Steps in which the accumulator is empty (below its precharge) are left out of the
        lowest pressure. One per cent is let pass, as gauges read.

    Source
        90 % from memory; 4:1 at most for bladder types: general notes on accumulators
    """
    upper, lower = case.limit("of_least"), case.limit("of_most")
    for part, _ in _accumulators(case):
        precharge = part.figure("precharge")
        if precharge is None:
            if not part.says("spring loaded") and not part.says("weight loaded"):
                yield case.not_checked(part.name, "precharge")
            continue
        warm = max((p.parts[part.name].values["precharge warm"] for p in case.points),
                   default=precharge)  # fmt: skip
        seen = [p.parts[part.name].values["pressure"] for p in case.points]
        full = [value for value in seen if value > 0.1 * max(seen)]
        if not full or max(full) <= 0.0:
            continue
        least, most = min(full) + ATMOSPHERE, max(full) + ATMOSPHERE
        gas = warm + ATMOSPHERE
        high = gas > 1.01 * upper.value * least
        low = gas < lower.value * most and not part.says("piston")
        if high or low:
            yield case.finding(
                f"{part.name} has {case.bar(warm)} precharge at work against "
                f"{case.bar(min(full))} to {case.bar(max(full))}: "
                f"{'too high' if high else 'too low'} ({(upper if high else lower).origin})",
                part,
                severity=Severity.WARNING if high and gas <= least else Severity.ERROR,
                numbers=(
                    Number("precharge at work", warm, "pressure"),
                    Number("lowest pressure", min(full), "pressure"),
                    Number("highest pressure", max(full), "pressure"),
                ),
            )


def accumulator_volume_short(case: Case) -> Iterator[Outcome]:
    """Accumulator that runs empty before its step is done.

    What is checked
        In every solved step in which an accumulator gives oil: is it empty at the end?

    Why it matters on the machine
        The motion slows down to what the pump gives, and the bladder meets its poppet.

    What to do
        A larger accumulator, more of them, or a higher charging pressure. Gauge taken for
        absolute pressure and the slow law for a fast step are the usual mistakes.

    Limits of this rule
        A step written as an emptying (a bleed at stop) is told as well: accept it.

    Source
        gas law, textbook
    """
    share = case.limit("share")
    for part, _ in _accumulators(case):
        most = max((p.parts[part.name].values.get("oil", 0.0) for p in case.points), default=0.0)
        for point in case.points:
            values = point.parts[part.name].values
            start, end = values.get("oil at start", 0.0), values.get("oil", 0.0)
            if start > share.value * most and end < 0.1 * share.value * most:
                yield case.finding(
                    f"{part.name} has {case.show(start, 'volume')} at the start of step "
                    f"{point.step.name} and is empty before its end",
                    part,
                    step=point.step.name,
                    numbers=(Number("oil at start", start, "volume"),),
                )
                break


def accumulator_not_refilled(case: Case) -> Iterator[Outcome]:
    """Accumulator that loses oil from cycle to cycle.

    What is checked
        Over all steps: does an accumulator hold less oil at the end of the cycle than at its
        start, by more than 5 % of what it holds at most?

    Why it matters on the machine
        After some cycles it is flat, and the machine slows down.

    What to do
        A larger pump, a longer pause, or less oil taken in a cycle.

    Limits of this rule
        For a cycle that repeats as it is written, with the accumulator filled as the first
        step finds it.

    Source
        must be refilled between cycles: general notes on accumulators
    """
    share = case.limit("share")
    if cycle_time(case) is None or not case.points:
        return
    for part, _ in _accumulators(case):
        first = case.points[0].parts[part.name].values.get("oil at start")
        last = case.points[-1].parts[part.name].values.get("oil")
        most = max(p.parts[part.name].values.get("oil", 0.0) for p in case.points)
        if first is None or last is None or first - last <= share.value * most:
            continue
        lost = first - last
        yield case.finding(
            f"{part.name} loses {case.show(lost, 'volume')} in a cycle; after "
            f"{max(first / lost, 1.0):.0f} cycles it is flat",
            part,
            numbers=(Number("lost in a cycle", lost, "volume"),),
        )


def _accumulators(case: Case) -> Iterator[tuple[Part, str]]:
    for part in case.of_kind("accumulator"):
        junction = case.network.at(part.name, "P")
        if junction is not None:
            yield part, junction


RULES = (
    Rule("accumulator-no-relief", Severity.ERROR, accumulator_no_relief),
    Rule("accumulator-no-shut-off", Severity.WARNING, accumulator_no_shut_off),
    Rule("accumulator-drains-through-pump", Severity.ERROR, accumulator_drains_through_pump),
    Rule(
        "accumulator-not-drained-by-emergency-stop",
        Severity.WARNING,
        accumulator_not_drained_by_emergency_stop,
    ),
    Rule("precharge-outside", Severity.ERROR, precharge_outside, Needs.NUMBERS),
    Rule("accumulator-volume-short", Severity.WARNING, accumulator_volume_short, Needs.NUMBERS),
    Rule("accumulator-not-refilled", Severity.WARNING, accumulator_not_refilled, Needs.NUMBERS),
)
