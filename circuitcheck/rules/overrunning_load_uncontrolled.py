"""Load that drives an actuator with nothing to hold it back.

What is checked
    In every step in which the load acts with the motion (an overrunning load, or a weight
    that goes down): is there a counterbalance valve, throttle, flow control, orifice, relief
    or proportional spool on the way from the side that empties to the tank? Where a weight
    hangs on a cylinder, the same is asked in every combination of positions of the valves
    before it that no step has.

Why it matters on the machine
    The load runs away and the side that should fill draws a vacuum.

What to do
    Fit a counterbalance valve at the actuator port that carries the load, or meter the oil
    that leaves it.

Limits of this rule
    The drop of plain lines and switching valves is not counted as control, however small
    they are. The direction of motion is the solved one, else the side that is supplied. Of
    valves that act together up to 2187 combinations are looked at; those left out are told.

Source
    definition of the overrunning load and use of counterbalance and brake valves: open
    hydraulics course pages
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.basics.unit_table import ATMOSPHERE
from circuitcheck.circuit.model import Step
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._flows import Flows
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import (
    MOVES,
    actuators,
    cylinders,
    driving_force,
    filling,
    greatest_weight,
    is_cylinder,
    load_side,
    other_side,
    speed,
)
from circuitcheck.rules._paths import REST, Passage, State, in_a_step
from circuitcheck.rules._rule import Outcome, Rule

METERING = ("section", "bank section")


def check(case: Case) -> Iterator[Outcome]:
    yield from _in_steps(case)
    yield from _beyond_the_steps(case)


def _in_steps(case: Case) -> Iterator[Outcome]:
    for state in case.facts.steps:
        step = state.step
        if step is None:
            continue
        for part in actuators(case):
            now = speed(case, part, step)
            force = driving_force(case, part, step)
            if force <= 0.0 or (now is not None and abs(now) <= MOVES):
                continue
            fills = filling(case, part, state)
            empties = other_side(part, fills)
            junction = case.network.at(part.name, empties)
            if junction is None or not runs_free(case, junction, state):
                continue
            yield case.finding(
                f"in step {step.name} the load drives {part.name} ({_force(case, part, force)} "
                f"with the motion) and nothing holds it back{_vacuum(case, part, fills, step)}",
                part,
                port=empties,
                step=step.name,
                numbers=(Number("driving load", force, _quantity(part)),),
            )


def _beyond_the_steps(case: Case) -> Iterator[Outcome]:
    """Weights that come down unchecked in a combination of positions that no step has."""
    for cylinder in cylinders(case):
        port = load_side(case, cylinder)
        junction = case.network.at(cylinder.name, port) if port else None
        if junction is None or runs_free(case, junction, REST):
            continue  # at rest it is for the rule on power loss
        groups = case.facts.groups_of(junction)
        yield from case.left_out(groups)
        for group in groups:
            told = next((s for s in group.states if not in_a_step(case.facts.steps, group.valves, s)
                         and runs_free(case, junction, s, group.flows)), None)  # fmt: skip
            if told is not None:
                weight = abs(greatest_weight(case, cylinder))
                weighs = f" ({_force(case, cylinder, weight)})" if weight else ""
                yield case.finding(
                    f"with {told.label}, which no step has, the weight on {cylinder.name}"
                    f"{weighs} comes down and nothing holds it back",
                    cylinder,
                    port=port,
                )


def runs_free(case: Case, junction: str, state: State, flows: Flows | None = None) -> bool:
    """Whether oil from a junction reaches a tank past nothing that meters or holds it.

    ``flows``: searches over the stretch of the junction, for a state of its valves alone.
    """
    flows = case.facts.whole if flows is None else flows
    supplied, let_go = flows.supplied(state), flows.vented(state)

    def free(passage: Passage) -> bool:
        part = case.circuit.parts[passage.part]
        if passage.way in (Way.OPEN, Way.CHECK):
            return True
        if passage.way is Way.SPOOL:
            metering = part.kind.word in METERING or part.says("proportional")
            metering = metering or state.orders(part.name).opening < 1.0
            return not metering and state.position(part) in passage.positions
        if passage.way is Way.SHUT_OFF:
            return state.shut_off_open(part)
        if passage.way is Way.LET_GO:
            return passage.pilot in let_go
        return passage.way is Way.PILOTED and passage.pilot in supplied

    ends = [name for name in flows.ways.reach([junction], free).found if name in flows.let_off]
    return case.network.reach(ends, free).any_of(case.network.tanks) is not None


def _quantity(part: Part) -> str:
    return "force" if is_cylinder(part) else "torque"


def _force(case: Case, part: Part, force: float) -> str:
    return case.show(force, _quantity(part))


def _vacuum(case: Case, part: Part, fills: str, step: Step) -> str:
    point = case.point(step.name)
    state = point.parts[part.name].ports.get(fills) if point else None
    if state is None or state.pressure >= 0.0:
        return ""
    absolute = max(state.pressure + ATMOSPHERE, 0.0)
    return f"; side {fills} goes to {case.bar(absolute)} absolute"


RULE = Rule(
    "overrunning-load-uncontrolled",
    Severity.ERROR,
    check,
    explains=("actuator-cavitates", "claim-off"),
)
