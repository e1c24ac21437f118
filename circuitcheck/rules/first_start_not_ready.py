"""First start that is not prepared.

What is checked
    In every step whose name begins with 'first_start': every shut-off in a suction line
    stands open, every pump delivers at less than 20 bar, no accumulator stands under oil
    pressure above that, and no actuator is asked to move.

Why it matters on the machine
    Dry or loaded first seconds ruin a pump, and may not show for hundreds of hours.

What to do
    Fill the case through the top port, open the suction, back the reliefs off, unload the
    outlet, bleed the accumulators, jog, listen; keep people clear.

Limits of this rule
    Only in circuits that write down such a step. Whether cases are filled, filters are in
    and people are clear cannot be seen here: take the list of the start-up card.

Source
    failure at start as a cause of early death of parts: trade article on commissioning; air
    is bled at low speed: US Army TM 5-3810-300-24
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.circuit.model import Step
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import (
    actuators,
    commanded,
)
from circuitcheck.rules._paths import Passage, State
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for state in case.facts.steps:
        step = state.step
        if step is None or not step.name.lower().startswith("first_start"):
            continue
        items = [*_shut(case, state), *_loaded(case, step)]
        items += [
            f"{part.name} is asked to move"
            for part in actuators(case)
            if commanded(case, part, step)
        ]
        if items:
            yield case.finding(
                f"step {step.name} is not ready: {'; '.join(items)}",
                step=step.name,
                place=step.place,
            )


def _to_a_pump(passage: Passage) -> bool:
    return passage.way in (Way.OPEN, Way.CHECK, Way.SHUT_OFF)


def _shut(case: Case, state: State) -> Iterator[str]:
    """Shut-offs that stand closed between a tank and a pump."""
    for pump in case.of_kind("pump"):
        inlet = case.network.at(pump.name, "S")
        if inlet is None:
            continue
        reached = case.network.reach([inlet], _to_a_pump, backward=True)
        tank = reached.any_of(case.network.tanks)
        for passage in reached.path(tank) if tank is not None else ():
            part = case.circuit.parts[passage.part]
            if passage.way is Way.SHUT_OFF and not state.shut_off_open(part):
                yield f"{part.name} shuts the suction of {pump.name}"


def _loaded(case: Case, step: Step) -> Iterator[str]:
    """Pumps and accumulators under pressure."""
    limit, point = case.limit("pressure").value, case.point(step.name)
    if point is None:
        return
    for part in case.of_kind("pump", "accumulator"):
        pressure = point.parts[part.name].values["pressure"]
        if pressure > limit:
            does = "delivers against" if part.kind.word == "pump" else "stands at"
            yield f"{part.name} {does} {case.bar(pressure)}"


RULE = Rule("first-start-not-ready", Severity.ERROR, check, Needs.NUMBERS)
