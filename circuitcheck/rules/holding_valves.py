"""Rules on valves that hold a load: counterbalance valves and pilot-operated checks."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import (
    MOTORS,
    actuators,
    areas,
    commanded,
    cylinders,
    driving_force,
    filling,
    greatest_weight,
    is_cylinder,
    load_side,
    moves,
    other_side,
)
from circuitcheck.rules._paths import REST, Passage, State, in_state
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.rules._stored import highest_seen
from circuitcheck.rules.counterbalance_set_low import HELD_AT, load_pressures

PILOT_CHECKS = ("pilot check", "double pilot check")
SPOOLS = ("valve", "section", "bank section")


def counterbalance_set_high(case: Case) -> Iterator[Outcome]:
    """Counterbalance valve set far above its load.

    What is checked
        For every counterbalance and brake valve: its setting against 2 times the highest
        pressure that the load alone, or any solved step, makes at its load port, and, with 5 %
        on top, against the rating of the actuator it guards.

    Why it matters on the machine
        Energy is spent to push the load down; and as the relief of a shut-in cylinder it must
        stay under the cylinder's rating.

    What to do
        Set it 1.3 times the load pressure; take a higher pilot ratio for a steady load.

    Limits of this rule
        A load that is never written down is not known: then only the rating is judged.

    Source
        1.3 times: trade page on load-holding valves; factor 2 common practice, no source
    """
    factor, near = case.limit("factor"), case.limit("share_to_rating")
    for valve in case.of_kind(*HELD_AT):
        setting = valve.figure("set")
        for port in HELD_AT[valve.kind.word]:
            held = case.network.at(valve.name, port)
            if held is None or setting is None:
                continue
            loads = load_pressures(case, held)
            if loads:
                load, actuator = max(loads, key=lambda pair: pair[0])
                load = max(load, highest_seen(case, held) or 0.0)
                rated = actuator.figure("rated")
                if setting > factor.value * load:
                    yield _high(case, valve, f"{setting / load:.1f} times the "
                                f"{case.bar(load)} that {actuator.name} brings there at most "
                                f"({factor.value:g} is the most, {factor.origin})")  # fmt: skip
                    break
                if rated is not None and setting * (1.0 + near.value) > rated:
                    yield _high(case, valve, f"too near the rating of {actuator.name}, "
                                f"{case.bar(rated)} (limit from {actuator.name})")  # fmt: skip
                    break


def _high(case: Case, valve: Part, words: str) -> Outcome:
    setting = valve.figure("set") or 0.0
    return case.finding(
        f"{valve.name} at {case.bar(setting)} is {words}",
        valve,
        numbers=(Number("setting", setting, "pressure"),),
    )


def counterbalance_may_hunt(case: Case) -> Iterator[Outcome]:
    """Counterbalance valve that may hunt.

    What is checked
        Every counterbalance or brake valve with a pilot ratio above 5:1 whose load moves with
        it in some step, or that has no step which lowers it.

    Why it matters on the machine
        A little pilot pressure opens it wide: the load drops, the pilot falls, it shuts, and
        so on.

    What to do
        A ratio of 3:1 to 4.5:1, a damping orifice in the pilot, or a restricted outlet.

    Limits of this rule
        A steady operating point cannot prove stability: this is a hint, not a finding of the
        calculation.

    Source
        ratio against control: general notes on counterbalance valves; limit common practice,
        no source
    """
    most = case.limit("ratio")
    for valve in case.of_kind(*HELD_AT):
        ratio = valve.figure("pilot")
        if ratio is not None and ratio > most.value:
            yield case.finding(
                f"{valve.name} has pilot ratio {ratio:g}: the steady result is right, but it "
                f"may hunt ({most.value:g} is usual at most, {most.origin})",
                valve,
                numbers=(Number("pilot ratio", ratio, "ratio"),),
            )


def po_check_cannot_open(case: Case) -> Iterator[Outcome]:
    """Pilot-operated check that its pilot cannot open.

    What is checked
        In every solved step that asks an actuator to move and in which it stands: does oil
        shut in behind a pilot-operated check keep it shut, although its pilot is supplied?

    Why it matters on the machine
        The load stays locked, or lets go with a bang.

    What to do
        A higher pilot ratio, a decompression stage, or more pilot pressure. A ratio under
        that of the cylinder's areas never opens by the pressure on the other side.

    Limits of this rule
        By the solved pressures of the step, with the other reasons to stand (load, supply)
        told by their own rules.

    Source
        balance of forces on the pilot piston, textbook
    """
    for valve in case.of_kind(*PILOT_CHECKS):
        for state in case.facts.steps:
            step = state.step
            point = case.point(step.name) if step is not None else None
            if step is None or point is None:
                continue
            supplied = case.facts.supplied(state)
            for passage in _piloted(case, valve):
                shut = abs(point.parts[valve.name].ports[passage.inlet].flow) < 1e-6
                if passage.pilot not in supplied or passage.start in supplied or not shut:
                    continue
                stuck = _stuck_behind(case, passage, state)
                if stuck is None:
                    continue
                pilot = point.junctions[passage.pilot].pressure
                locked = point.junctions[passage.start].pressure
                yield case.finding(
                    f"{valve.name} keeps {case.bar(locked)} locked in step {step.name}: "
                    f"{case.bar(pilot)} of pilot at ratio {valve.figure('ratio') or 0.0:g} does "
                    f"not open it, and {stuck.name} stands",
                    valve,
                    step=step.name,
                    numbers=(
                        Number("pilot pressure", pilot, "pressure"),
                        Number("locked pressure", locked, "pressure"),
                    ),
                )
                return


def _stuck_behind(case: Case, passage: Passage, state: State) -> Part | None:
    """Actuator that a step asks to move, that stands, and whose oil the passage shuts in."""
    if state.step is None:
        return None
    region = case.facts.carried(passage.start)
    for name in region.found:
        for end in case.circuit.neighbours(name):
            part = case.circuit.parts[end.part]
            moved = is_cylinder(part) or part.kind.word in MOTORS
            asked = moved and commanded(case, part, state.step)
            if asked and moves(case, part, state.step) is False:
                return part
    return None


def _piloted(case: Case, valve: Part) -> list[Passage]:
    return [p for p in case.network.of_part[valve.name] if p.way is Way.PILOTED and p.pilot]


def po_check_with_throttled_outlet(case: Case) -> Iterator[Outcome]:
    """Back pressure behind a pilot-operated check.

    What is checked
        In every solved step in which oil passes a pilot-operated check backwards: the pressure
        behind it, against 10 bar, unless its pilot piston is drained.

    Why it matters on the machine
        The pressure works against the pilot piston: the check opens and shuts in turn.

    What to do
        Put the throttle between check and cylinder, take a check with a drained pilot piston,
        or a counterbalance valve.

    Limits of this rule
        Hammering itself is no steady state and is not computed.

    Source
        common practice, no source
    """
    most = case.limit("back_pressure")
    for valve in case.of_kind(*PILOT_CHECKS):
        if valve.says("drained"):
            continue
        found = [
            (point.parts[valve.name].ports[passage.outlet].pressure, point)
            for passage in _piloted(case, valve)
            for point in case.points
            if point.parts[valve.name].ports[passage.outlet].flow < -1e-6
        ]
        if not found:
            continue
        behind, point = max(found, key=lambda pair: pair[0])
        if behind > most.value:
            yield case.finding(
                f"{case.bar(behind)} stand behind {valve.name} in step {point.step.name} and work "
                f"against its pilot piston ({case.bar(most.value)} is the most, {most.origin})",
                valve,
                step=point.step.name,
                numbers=(Number("back pressure", behind, "pressure"),),
            )


def po_check_on_overrunning_load(case: Case) -> Iterator[Outcome]:
    """Driving load lowered through a pilot-operated check.

    What is checked
        In every step in which a load drives its actuator: does the oil that leaves it pass a
        pilot-operated check, with no counterbalance valve, throttle or flow control on the
        way to tank?

    Why it matters on the machine
        The load runs away, the pilot pressure falls, the check slams shut, and so on.

    What to do
        A counterbalance valve in its place, or a throttle that meters the oil going out.

    Limits of this rule
        A proportional spool and a section count as metering.

    Source
        common practice, no source
    """
    told: set[str] = set()
    for state in case.facts.steps:
        for part in actuators(case) if state.step is not None else ():
            if state.step is None or driving_force(case, part, state.step) <= 0.0:
                continue
            junction = case.network.at(part.name, other_side(part, filling(case, part, state)))
            way = _plain_way(case, junction, state) if junction is not None else []
            checks = [p.part for p in way if p.way is Way.PILOTED]
            for name in checks:
                if name in told:
                    continue
                told.add(name)
                yield case.finding(
                    f"{name} will open and slam while the load drives {part.name} in step "
                    f"{state.step.name}: nothing meters the oil",
                    case.circuit.parts[name],
                    step=state.step.name,
                )


def _plain_way(case: Case, junction: str, state: State) -> list[Passage]:
    """Way from a junction to tank past nothing that meters; empty if there is none."""
    allowed, supplied = in_state(case.circuit, state), case.facts.supplied(state)

    def plain(passage: Passage) -> bool:
        part = case.circuit.parts[passage.part]
        if passage.way is Way.PILOTED:
            return passage.pilot in supplied
        if passage.way in (Way.THROTTLE, Way.SETTING):
            return False
        if passage.way is Way.SPOOL:
            metering = part.kind.word != "valve" or part.says("proportional")
            if metering or state.orders(part.name).opening < 1.0:
                return False
        return allowed(passage)

    reached = case.network.reach([junction], plain)
    tank = reached.any_of(case.network.tanks)
    return [] if tank is None else reached.path(tank)


def load_held_by_spool(case: Case) -> Iterator[Outcome]:
    """Load that only a spool holds.

    What is checked
        For every cylinder that carries a weight: with all valves at rest, is a shut spool the
        first thing that holds the oil under the load?

    Why it matters on the machine
        Spools leak, the more so when the oil is hot: the load creeps down.

    What to do
        A pilot-operated check or a counterbalance valve at the port.

    Limits of this rule
        The drift is that of the valve's own leakage figure, if need be the usual one.

    Source
        drift is leakage past the spool: trade article on cylinder drift; leakage from memory
    """
    for cylinder in cylinders(case):
        port = load_side(case, cylinder)
        junction = case.network.at(cylinder.name, port) if port else None
        if junction is None or junction in case.facts.vented(REST):
            continue
        region = case.facts.carried(junction)
        spools = [
            passage for name in region.found for passage in case.network.out[name]
            if passage.way is Way.SPOOL and case.circuit.parts[passage.part].kind.word in SPOOLS
        ]  # fmt: skip
        if not spools:
            continue
        valve = case.circuit.parts[spools[0].part]
        area = areas(cylinder)[0 if port == "cap" else 1]
        leak = (valve.figure("leakage") or 0.0) / (valve.figure("leakage pressure") or 1.0)
        drift = leak * abs(greatest_weight(case, cylinder)) / area**2
        yield case.finding(
            f"{cylinder.name} is held by the spool of {valve.name} only; expect it to creep "
            f"{case.show(drift * 60.0, 'length')} a minute",
            cylinder,
            port=port,
            numbers=(Number("drift", drift, "speed"),),
        )


RULES = (
    Rule("counterbalance-set-high", Severity.WARNING, counterbalance_set_high),
    Rule("counterbalance-may-hunt", Severity.ADVICE, counterbalance_may_hunt),
    Rule("po-check-cannot-open", Severity.ERROR, po_check_cannot_open, Needs.NUMBERS),
    Rule(
        "po-check-with-throttled-outlet",
        Severity.WARNING,
        po_check_with_throttled_outlet,
        Needs.NUMBERS,
    ),
    Rule("po-check-on-overrunning-load", Severity.WARNING, po_check_on_overrunning_load),
    Rule("load-held-by-spool", Severity.WARNING, load_held_by_spool),
)
