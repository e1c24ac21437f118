"""Rules on ways that are open where they should not be."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.components._parts import Part
from circuitcheck.components._pump_controls import is_loop
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import (
    actuators,
    commanded,
    cylinders,
    driving_force,
    filling,
    moves,
    other_side,
    sides,
)
from circuitcheck.rules._paths import REST, Passage, State, in_state
from circuitcheck.rules._pumps import is_controlled
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.rules.overrunning_load_uncontrolled import runs_free


def open_centre_on_compensated_pump(case: Case) -> Iterator[Outcome]:
    """Variable pump that is open to tank at rest.

    What is checked
        Every pressure-compensated and load-sensing pump: with all valves at rest, does a
        spool, in its rest position, join its outlet to tank?

    Why it matters on the machine
        It stays at full stroke and never sees the pressure that would take it off: pilot and
        signal functions have no pressure.

    What to do
        Close the centre, or set the valve for closed-centre use.

    Limits of this rule
        A valve that unloads the pump on purpose at rest is told as well: accept it with that
        reason.

    Source
        common practice, no source
    """
    allowed = in_state(case.circuit, REST)

    def plain(passage: Passage) -> bool:
        return passage.way not in (Way.SETTING, Way.MOTOR, Way.THROTTLE) and allowed(passage)

    for pump in case.of_kind("pump"):
        outlet = case.network.at(pump.name, "P")
        if outlet is None or not is_controlled(pump):
            continue
        reached = case.network.reach([outlet], plain)
        tank = reached.any_of(case.network.tanks)
        over = [p.part for p in reached.path(tank) if p.way is Way.SPOOL] if tank else []
        if over:
            yield case.finding(
                f"variable pump {pump.name} is open to tank through {over[0]} at rest: it stays "
                "at full stroke",
                pump,
            )


def pump_short_to_tank(case: Case) -> Iterator[Outcome]:
    """Pump that runs to tank in a step that asks for work.

    What is checked
        In every solved step that asks an actuator to move, and in which it stands although a
        pump feeds it: is the outlet of that pump open to tank, past no relief valve, motor or
        throttle?

    Why it matters on the machine
        Oil takes the easiest way: nothing moves.

    What to do
        Close the bypass in that step, or give it a setting.

    Limits of this rule
        A bypass so narrow that pressure builds up in spite of it stands for a throttle.

    Source
        check the easy things first: trade article; logic of the graph
    """
    told: set[str] = set()
    for state in case.facts.steps:
        step = state.step
        standing = [
            a for a in actuators(case)
            if step is not None and commanded(case, a, step) and moves(case, a, step) is False
        ]  # fmt: skip
        if step is None or not standing:
            continue
        for pump in case.of_kind("pump"):
            outlet = case.network.at(pump.name, "P")
            if outlet is None or is_loop(pump) or pump.name in told:
                continue
            served = case.facts.supplied_from(outlet, state)
            waits = [a for a in standing
                     if any(case.network.at(a.name, p) in served for p in sides(a))]  # fmt: skip
            way = _short(case, outlet, state) if waits else []
            if way:
                told.add(pump.name)
                point = case.point(step.name)
                builds = ""
                if point is not None:
                    builds = f"; only {case.bar(point.junctions[outlet].pressure)} builds up"
                yield case.finding(
                    f"in step {step.name} {pump.name} is joined to tank through "
                    f"{', '.join(way)}{builds} and {waits[0].name} stands",
                    pump,
                    step=step.name,
                )


def _short(case: Case, outlet: str, state: State) -> list[str]:
    """Valves on an open way from a pump to tank; empty if there is none."""
    allowed = in_state(case.circuit, state)

    def plain(passage: Passage) -> bool:
        held = (Way.SETTING, Way.MOTOR, Way.THROTTLE)
        return passage.way not in held and allowed(passage)

    reached = case.network.reach([outlet], plain)
    tank = reached.any_of(case.network.tanks)
    if tank is None:
        return []
    names = [p.part for p in reached.path(tank) if p.way in (Way.SPOOL, Way.SHUT_OFF)]
    return list(dict.fromkeys(names)) or ["an open line"]


def meter_in_on_overrunning_load(case: Case) -> Iterator[Outcome]:
    """Driving load that is metered only on its way in.

    What is checked
        In every step in which the load drives its actuator and nothing meters the oil that
        leaves it: does a throttle, orifice or flow control meter the oil that fills it?

    Why it matters on the machine
        Meter-in holds no load back: the actuator runs ahead of its oil.

    What to do
        Meter the oil that leaves, or fit a counterbalance valve; then check the rod-side
        pressure.

    Limits of this rule
        Told with overrunning-load-uncontrolled, which it explains.

    Source
        meter-out stops an overrunning load, meter-in does not: trade article on pressure
        intensification, open hydraulics course page
    """
    for state in case.facts.steps:
        step = state.step
        for part in actuators(case) if step is not None else ():
            if step is None or driving_force(case, part, step) <= 0.0:
                continue
            fills = filling(case, part, state)
            junction = case.network.at(part.name, fills) if fills else None
            empties = case.network.at(part.name, other_side(part, fills))
            if junction is None or empties is None or not runs_free(case, empties, state):
                continue
            throttle = _metered_in(case, junction, state)
            if throttle:
                yield case.finding(
                    f"{throttle} meters the oil going in, but the load in step {step.name} "
                    f"pulls {part.name} ahead of it",
                    case.circuit.parts[throttle],
                    step=step.name,
                )


def _metered_in(case: Case, junction: str, state: State) -> str:
    """Throttle nearest to a port on the way from a pump; empty if there is none."""
    allowed = in_state(case.circuit, state)
    reached = case.network.reach([junction], allowed, backward=True)
    source = reached.any_of(case.facts.fed_by_pumps)
    if source is None:
        return ""
    way = reached.path(source)
    return next((p.part for p in way if p.way is Way.THROTTLE), "")


def regen_centre_wrong(case: Case) -> Iterator[Outcome]:
    """Regeneration from which oil escapes to tank.

    What is checked
        In every position of a valve that joins P, A and B, with the valve's ports on both
        sides of a cylinder: is T shut there, and does no other way lead the joined oil to tank
        at rest or in the steps that use it?

    Why it matters on the machine
        There is no gain in speed, or the pump is short to tank.

    What to do
        A spool with P, A and B joined and T blocked, or a check that leads rod oil to the cap
        side.

    Limits of this rule
        A position that joins all four ports is an open centre, not a regeneration.

    Source
        trade article on regenerative circuits
    """
    for valve in case.of_kind("valve", "section"):
        names = [
            name for name, groups in valve.positions.items()
            if any({"P", "A", "B"} <= set(group) and "T" not in group for group in groups)
        ]  # fmt: skip
        ports = [case.network.at(valve.name, port) for port in ("P", "A", "B")]
        known = [name for name in ports if name is not None]
        if not names or not known or not _on_cylinder(case, valve):
            continue
        yield from case.left_out(case.facts.groups_of(*known))
        for state, flows in case.facts.looks(*known):
            if state.position(valve) not in names:
                continue
            outlet = case.network.at(valve.name, "P")
            joined = outlet is not None and outlet in flows.supplied(state)
            way = _short(case, outlet, state) if outlet is not None and joined else []
            if way:
                yield case.finding(
                    f"regeneration of {valve.name} ({state.label}) loses its oil to tank through "
                    f"{', '.join(way)}",
                    valve,
                    step=state.step.name if state.step else "",
                )
                break


def _on_cylinder(case: Case, valve: Part) -> bool:
    for cylinder in cylinders(case):
        ports = {case.network.at(cylinder.name, port) for port in sides(cylinder)}
        regions = [
            case.facts.region(name).found
            for port in ("A", "B") if (name := case.network.at(valve.name, port)) is not None
        ]  # fmt: skip
        if len(ports) == 2 and all(any(p in found for p in ports) for found in regions):
            return True
    return False


RULES = (
    Rule("open-centre-on-compensated-pump", Severity.WARNING, open_centre_on_compensated_pump),
    Rule(
        "pump-short-to-tank",
        Severity.ERROR,
        pump_short_to_tank,
        Needs.NUMBERS,
        explains=("force-short",),
    ),
    Rule(
        "meter-in-on-overrunning-load",
        Severity.ERROR,
        meter_in_on_overrunning_load,
        explains=("overrunning-load-uncontrolled",),
    ),
    Rule("regen-centre-wrong", Severity.ERROR, regen_centre_wrong),
)
