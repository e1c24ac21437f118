"""Rod side that can be shut in while the cap side is pushed.

What is checked
    In the state of every step, at rest, and in every combination of valve positions: the cap
    side of a double-acting cylinder gets pump oil while its rod side has no way out, or
    only past a hand-worked shut-off that is not locked open. A relief valve always open to
    the rod side passes. Rod pressure = cap pressure x cap area / rod-side area. Where another
    actuator takes the oil (in series), it is a warning: the pressure comes when that one stands.

Why it matters on the machine
    The area ratio turns the cylinder into an intensifier; the rod seal, the tube or a hose
    on the rod side fails, at a pressure that no gauge at the pump shows.

What to do
    Fit a relief valve at the rod port, lock the shut-off open, meter on the way in instead,
    or use couplings with pressure relief.

Limits of this rule
    Combinations are those of the valves that decide what this cylinder gets; others, which meet
    them only at a pressure gallery or a return line, stand at rest. Where there are more than
    2187 (seven valves of three positions), one or two valves are moved at a time, and what was
    left out is told. Load and seal friction, which lower the pressure, are left out.

Source
    trade article on pressure intensification
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._flows import Flows
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import actuators, areas, cylinders, other_side, sides
from circuitcheck.rules._paths import Passage, State, in_state
from circuitcheck.rules._pumps import guards_of, highest_supply
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for cylinder in cylinders(case):
        cap_area, rod_area = areas(cylinder)
        cap, rod = (case.network.at(cylinder.name, port) for port in ("cap", "rod"))
        if cap is None or rod is None or not 0.0 < rod_area < cap_area or guards_of(case, rod):
            continue
        yield from case.left_out(case.facts.groups_of(cap, rod))
        for state, flows in case.facts.looks(cap, rod):
            element = _element(case, cap, rod, state, flows)
            if element is None:
                continue
            takers = _takers(case, rod, state, flows)
            yield _finding(case, cylinder, element, state, cap_area / rod_area, takers)
            break


def _takers(case: Case, rod: str, state: State, flows: Flows) -> list[str]:
    """Other actuators that alone take the oil of a rod side, and can give theirs to tank."""
    reached = case.network.reach([rod], in_state(case.circuit, state))
    drained = flows.drained(state)
    found = []
    for other in actuators(case):
        joints = {port: case.network.at(other.name, port) for port in sides(other)}
        for port, junction in joints.items():
            away = joints.get(other_side(other, port))
            if junction in reached and junction != rod and away is not None and away in drained:
                found.append(f"{other.name} {port}")
    return found


def _element(case: Case, cap: str, rod: str, state: State, flows: Flows) -> Part | None:
    """What shuts, or can shut, the rod side in a state in which the cap side is pushed."""
    supplied = flows.supplied(state)
    if cap not in supplied or rod in supplied:
        return None
    if rod not in flows.drained(state):
        return _border(case, rod, state)
    way = flows.drained(state).path(rod)
    hand = next((p for p in reversed(way) if p.way is Way.SHUT_OFF), None)
    if hand is None or _drains_without(case, rod, state, hand.part):
        return None
    return case.circuit.parts[hand.part]


def _border(case: Case, rod: str, state: State) -> Part | None:
    """First part beyond which oil from the rod side cannot go."""
    reached = case.network.reach([rod], in_state(case.circuit, state))
    for junction in reached.found:
        for passage in case.network.out[junction]:
            if passage.stop not in reached and passage.way is not Way.SIGNAL:
                return case.circuit.parts[passage.part]
    return None


def _drains_without(case: Case, rod: str, state: State, shut: str) -> bool:
    allowed = in_state(case.circuit, state)

    def open_still(passage: Passage) -> bool:
        return passage.part != shut and (passage.way is Way.RELIEF or allowed(passage))

    return case.network.reach([rod], open_still).any_of(case.network.tanks) is not None


def _finding(
    case: Case, cylinder: Part, element: Part, state: State, ratio: float, takers: list[str]
) -> Outcome:
    supply = highest_supply(case)
    rated = cylinder.figure("rated")
    numbers = [Number("area ratio", ratio, "ratio")]
    severity = Severity.ERROR
    reaches = f"is {ratio:.2f} times the supply pressure"
    if supply is not None:
        pressure = supply * ratio
        numbers.append(Number("rod-side pressure", pressure, "pressure"))
        reaches = f"reaches {case.bar(pressure)} ({ratio:.2f} times {case.bar(supply)})"
        if rated is not None and pressure <= rated:
            severity = Severity.WARNING
    if takers:
        severity = Severity.WARNING
    limit = "no rating given" if rated is None else f"rated {case.bar(rated)}"
    if element.kind.word == "shut-off":
        when = f"if {element.name} is shut while {cylinder.name} is pushed"
    elif takers:
        when = (
            f"with {state.label} the rod side of {cylinder.name} empties into "
            f"{' and '.join(takers)} only; where that stands"
        )
    else:
        when = f"with {state.label} the rod side of {cylinder.name} is shut in at {element.name}"
    return case.finding(
        f"{when}, rod-side pressure {reaches}; {limit}",
        cylinder,
        severity=severity,
        port="rod",
        step=state.step.name if state.step else "",
        numbers=tuple(numbers),
    )


RULE = Rule(
    "rod-side-can-lock",
    Severity.ERROR,
    check,
    explains=("rod-side-over-rating", "pressure-over-rating"),
)
