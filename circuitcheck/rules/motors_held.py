"""Rules on motors that loads drive: crossport reliefs, make-up oil, brakes, winches, seals."""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.components._pump_controls import is_loop
from circuitcheck.rules._case import Case
from circuitcheck.rules._flows import Flows
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import driving_force, filling, moves
from circuitcheck.rules._paths import REST, Passage, State
from circuitcheck.rules._pumps import guards_of, highest_supply
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.rules._turning import ordered, turned_by

PORTS = ("A", "B")


def motor_without_crossport_relief(case: Case) -> Iterator[Outcome]:
    """Motor with a heavy load that can be stopped between shut ports.

    What is checked
        Every motor with a winch or wheel on its shaft, or with a load that drives it: in the
        steps, at rest, or in any combination of the valves before it, are both its ports shut
        in with no relief valve to the other side or to tank?

    Why it matters on the machine
        The motor turns into a pump into a closed line: the peak is limited by nothing.

    What to do
        Crossport reliefs 10 to 20 % over the working pressure, or a brake valve.

    Limits of this rule
        The energy of the turning mass is not known to the language: any such load counts.

    Source
        crossover reliefs protect the motor circuit: US Army TM 5-3805-281-24-1, single page
    """
    for motor in case.of_kind("motor"):
        joints = [case.network.at(motor.name, port) for port in PORTS]
        shut = [name for name in joints if name is not None]
        if len(shut) < 2 or not _can_be_driven(case, motor):
            continue
        if _in_loop(case, shut) or _crosses(case, shut):
            continue
        if any(guards_of(case, name) for name in shut):
            continue
        yield from case.left_out(case.facts.groups_of(*shut))
        looks = sorted(case.facts.looks(*shut), key=lambda look: look[0] is not REST)
        state = next((state for state, flows in looks if _shut_in(shut, state, flows)), None)
        if state is not None:
            where = "all valves at rest" if state is REST else state.label
            yield case.finding(
                f"with {where} {motor.name} is stopped between shut ports with its load "
                "on it, and no relief valve limits the peak",
                motor,
                step=state.step.name if state.step else "",
            )


def _shut_in(names: list[str], state: State, flows: Flows) -> bool:
    """Whether nothing feeds the ports of a motor in a state, and its oil cannot leave."""
    if any(name in flows.vented(state) or name in flows.supplied(state) for name in names):
        return False
    return not all(name in flows.drained(state) for name in names)


def _in_loop(case: Case, names: list[str]) -> bool:
    loops = {
        case.network.at(pump.name, port)
        for pump in case.of_kind("pump") if is_loop(pump)
        for port in PORTS
    }  # fmt: skip
    return any(reached in loops for name in names for reached in case.facts.region(name).found)


def _crosses(case: Case, names: list[str]) -> bool:
    return any(
        passage.way is Way.CROSS
        for name in names
        for near in case.facts.region(name).found
        for passage in case.network.out[near]
    )


def _can_be_driven(case: Case, motor: Part) -> bool:
    if any(load.kind.word in ("winch", "wheel") for load, _ in turned_by(case, motor)):
        return True
    return any(driving_force(case, motor, step) > 0.0 for step in case.circuit.steps)


def motor_without_make_up(case: Case) -> Iterator[Outcome]:
    """Driven motor whose low side gets no make-up oil.

    What is checked
        In every solved step in which a load drives a motor: does a check valve lead from a tank
        or a charge line to the side that fills, and does that side fall below the tank?

    Why it matters on the machine
        The motor cavitates and brakes no more; what leaks through its case is missing too.

    What to do
        Make-up checks from a return kept at 2 to 5 bar, or a charge feed.

    Limits of this rule
        A pump that gives more than the motor takes feeds it well enough: only a side under
        atmosphere is told.

    Source
        checks work with the counterbalance to prevent motor cavitation: US Army TM
        5-3805-281-24-1, single page
    """
    below = case.limit("below")
    for motor in case.of_kind("motor"):
        for state in case.facts.steps:
            step = state.step
            point = case.point(step.name) if step is not None else None
            if step is None or point is None or driving_force(case, motor, step) <= 0.0:
                continue
            port = filling(case, motor, state)
            junction = case.network.at(motor.name, port) if port else None
            if junction is None or not moves(case, motor, step):
                continue
            pressure = point.junctions[junction].pressure
            if pressure < below.value and not _made_up(case, junction):
                yield case.finding(
                    f"{motor.name} runs faster than it is fed in step {step.name}: port {port} "
                    f"stands at {case.bar(pressure)} and has no make-up oil",
                    motor,
                    port=port,
                    step=step.name,
                    numbers=(Number("pressure", pressure, "pressure"),),
                )
                break


def _made_up(case: Case, junction: str) -> bool:
    def lead_in(passage: Passage) -> bool:
        return passage.way in (Way.OPEN, Way.CHECK)

    reached = case.network.reach([junction], lead_in, backward=True)
    return reached.any_of(case.network.tanks) is not None


def motor_seal_over_pressure(case: Case) -> Iterator[Outcome]:
    """Shaft seal of a motor without a case drain under pressure.

    What is checked
        In every solved step, for every motor without a case drain: the lower of its two port
        pressures, which its shaft seal sees, against its own case limit, else 7 bar. Of two
        motors in series the first sees the inlet pressure of the second.

    Why it matters on the machine
        The seal ends up on the floor, and the oil with it.

    What to do
        A case drain, or a motor with a high-pressure seal.

    Limits of this rule
        By type the seal may see the higher pressure: the data sheet says so.

    Source
        case pressure and shaft seal: trade article; 7 bar from memory, small motors
    """
    for motor in case.of_kind("motor"):
        if case.network.at(motor.name, "L") is not None:
            continue
        limit = case.limit("most", motor, "case limit")
        found = [
            (min(point.parts[motor.name].ports[port].pressure for port in PORTS), point)
            for point in case.points
        ]
        if not found:
            continue
        pressure, point = max(found, key=lambda pair: pair[0])
        if pressure > limit.value:
            yield case.finding(
                f"shaft seal of {motor.name} sees {case.bar(pressure)} in step "
                f"{point.step.name} (limit {case.bar(limit.value)}, {limit.origin})",
                motor,
                step=point.step.name,
                numbers=(Number("pressure at the seal", pressure, "pressure"),),
            )


def layer_pull_changes(case: Case) -> Iterator[Outcome]:
    """Winch that pulls less on its top layer than it is asked.

    What is checked
        For every winch of several layers: the pull that its motor gives on the top layer at the
        highest pressure of the supply, against the greatest pull that the steps ask, and on
        the bare drum against the rating of the winch.

    Why it matters on the machine
        The radius grows with each layer: the same winch is strong with little rope on it and
        weak with much.

    What to do
        Size the motor on the top layer, limit its pressure for the first.

    Limits of this rule
        Back pressure and the drop of lines are left out: less is left on the machine.

    Source
        geometry of the drum
    """
    supply = highest_supply(case)
    for winch in case.of_kind("winch"):
        motors = [(m, ratio) for m in case.of_kind("motor")
                  for load, ratio in turned_by(case, m) if load is winch]  # fmt: skip
        layers = winch.figure("layers") or 1.0
        if layers <= 1.0 or supply is None or not motors:
            continue
        torque = sum(
            (m.figure("displacement") or 0.0) / (2.0 * math.pi) * supply
            * (m.figure("mechanical") or 1.0) * ratio
            for m, ratio in motors
        )  # fmt: skip
        torque *= (winch.figure("ratio") or 1.0) * (winch.figure("gear") or 1.0)
        drum, rope = winch.figure("drum") or 0.0, winch.figure("rope") or 0.0
        bare, top = (torque / (0.5 * (drum + (2.0 * k - 1.0) * rope)) for k in (1.0, layers))
        asked = max(
            (max(ordered(case, winch, s, "weight"), ordered(case, winch, s, "load"))
             for s in case.circuit.steps), default=0.0,
        )  # fmt: skip
        rated = winch.figure("rated")
        if top < asked:
            words = f"asked are {case.show(asked, 'force')}"
        elif rated is not None and bare > rated:
            words = f"the winch is rated {case.show(rated, 'force')}"
        else:
            continue
        yield case.finding(
            f"{winch.name} pulls {case.show(bare, 'force')} on the bare drum and "
            f"{case.show(top, 'force')} on layer {layers:g} at {case.bar(supply)}; {words}",
            winch,
            numbers=(Number("top layer", top, "force"), Number("bare drum", bare, "force")),
        )


def brake_release_out_of_order(case: Case) -> Iterator[Outcome]:
    """Brake that lets go too early, or drags.

    What is checked
        Every brake released by pressure: in a step in which its load is moved, is it fully
        released, and does its release line lose its pressure with all valves at rest?

    Why it matters on the machine
        A brake that is half released burns; one that stays released in neutral drops the load.

    What to do
        Take the release from a shuttle and a reducing valve, set it under the pressure that
        moves the load, and drain it in neutral.

    Limits of this rule
        The order in time of pressure and release is no steady state.

    Source
        shuttle, reducer and brake piston as built: US Army TM 5-3805-281-24-1, single page;
        order common practice
    """
    for brake in case.of_kind("brake"):
        junction = case.network.at(brake.name, "R")
        release = brake.figure("release") or 0.0
        if junction is None:
            continue
        fed = any(junction in case.facts.supplied(state) for state in case.facts.steps)
        rests = case.facts.vented(REST)
        if fed and junction not in rests and not _through_ball(case, junction, set(rests.found)):
            yield case.finding(
                f"the release line of {brake.name} keeps its pressure with all valves at rest: "
                "the brake stays open",
                brake,
                port="R",
            )
            continue
        for point in case.points:
            values = point.parts[brake.name].values
            turning = abs(values["speed"]) > 0.1
            pressure = values["release pressure"]
            if turning and 0.2 * release < pressure < release:
                yield case.finding(
                    f"{brake.name} drags in step {point.step.name}: {case.bar(pressure)} on its "
                    f"piston, fully released at {case.bar(release)}",
                    brake,
                    port="R",
                    step=point.step.name,
                    numbers=(Number("release pressure", pressure, "pressure"),),
                )
                break


def _through_ball(case: Case, junction: str, rests: set[str]) -> bool:
    """Whether a shuttle valve, whose ball lets oil back, leads to a line let down at rest."""
    ways = (Way.OPEN, Way.SIGNAL, Way.THROTTLE)
    reached = case.network.reach([junction], lambda passage: passage.way in ways)
    return any(name in rests for name in reached.found)


RULES = (
    Rule("motor-without-crossport-relief", Severity.WARNING, motor_without_crossport_relief),
    Rule("motor-without-make-up", Severity.WARNING, motor_without_make_up, Needs.NUMBERS),
    Rule("motor-seal-over-pressure", Severity.ERROR, motor_seal_over_pressure, Needs.NUMBERS),
    Rule("layer-pull-changes", Severity.ADVICE, layer_pull_changes),
    Rule("brake-release-out-of-order", Severity.ERROR, brake_release_out_of_order),
)
