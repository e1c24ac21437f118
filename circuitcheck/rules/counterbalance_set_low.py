"""Counterbalance valve set too low to hold its load.

What is checked
    For every counterbalance and brake valve: its setting against 1.3 times the highest pressure
    that the load alone makes at its load port (weight or overrunning load over the area of the
    chamber there; torque over displacement for a motor, rope pull included).

Why it matters on the machine
    The valve must close firmly against the largest load. Below 1.0 it does not hold the load
    at all.

What to do
    Raise the setting and check the rating of the cylinder, or take a larger bore.

Limits of this rule
    Without efficiencies: friction, which helps to hold, is left out. Several actuators on
    one valve are taken one by one.

Source
    30 % rule on trade pages about load-holding valves
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.circuit.model import Step
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import (
    areas,
    filling,
    greatest_weight,
    is_cylinder,
    ordered_load,
    other_side,
)
from circuitcheck.rules._rule import Outcome, Rule
from circuitcheck.rules._turning import hanging_torque, ordered_torque, turned_by

HELD_AT = {"counterbalance": ("C",), "brake valve": ("A2", "B2")}
"""Ports at which a valve holds a load, by kind."""


def check(case: Case) -> Iterator[Outcome]:
    factor = case.limit("factor")
    for valve in case.of_kind(*HELD_AT):
        joined = [case.network.at(valve.name, port) for port in HELD_AT[valve.kind.word]]
        held, setting = [name for name in joined if name is not None], valve.figure("set")
        if not held or setting is None:
            continue
        pressures = [pair for name in held for pair in load_pressures(case, name)]
        if not pressures:
            yield case.not_checked(valve.name, "weight or overrunning load that it holds")
            continue
        load, actuator = max(pressures, key=lambda pair: pair[0])
        if setting >= factor.value * load:
            continue
        ratio = setting / load
        holds = (
            f"holds {case.bar(load)} of load ({actuator.name}) only by {ratio:.2f}"
            if ratio >= 1.0
            else f"does not hold {case.bar(load)} of load ({actuator.name})"
        )
        yield case.finding(
            f"{valve.name} at {case.bar(setting)} {holds}; {factor.value:g} is the least "
            f"({factor.origin}), {case.bar(factor.value * load)}",
            valve,
            numbers=(
                Number("setting", setting, "pressure"),
                Number("load pressure", load, "pressure"),
                Number("ratio", ratio, "ratio"),
            ),
        )


def load_pressures(case: Case, held: str) -> list[tuple[float, Part]]:
    """Pressures that loads make in a closed volume, with their actuators."""
    region = case.facts.carried(held)
    found: list[tuple[float, Part]] = []
    for end in (end for name in region.found for end in case.circuit.neighbours(name)):
        part = case.circuit.parts[end.part]
        if is_cylinder(part):
            area = areas(part)[0 if end.port == "cap" else 1]
            force = _pushes_out(case, part, end.port)
            if force > 0.0 and area > 0.0:
                found.append((force / area, part))
        elif part.kind.word == "motor" and end.port in ("A", "B"):
            torque, size = _torque(case, part), part.figure("displacement")
            if torque > 0.0 and size:
                found.append((2.0 * math.pi * torque / size, part))
    return found


def _pushes_out(case: Case, cylinder: Part, port: str) -> float:
    """Greatest force of the load that pushes oil out of a chamber [N]."""
    weight = greatest_weight(case, cylinder)
    found = [weight if port == "cap" else -weight]
    for state in case.facts.steps:
        if state.step is None:
            continue
        size, drives = ordered_load(case, cylinder, state.step)
        if drives and other_side(cylinder, filling(case, cylinder, state)) == port:
            found.append(size)
    return max(found)


def _torque(case: Case, motor: Part) -> float:
    """Greatest torque that a load brings to a motor's shaft [N m]."""
    found = [abs(hanging_torque(case, motor, None))]
    for step in case.circuit.steps:
        hung = abs(hanging_torque(case, motor, step))
        driving = abs(ordered_torque(case, motor, step)) if _has_load(case, motor, step) else 0.0
        found.append(hung + driving)
    return max(found)


def _has_load(case: Case, motor: Part, step: Step) -> bool:
    """Whether a load drives the motor in a step, or is one of a rope, which it then holds."""
    if ordered_torque(case, motor, step) > 0.0:
        return True
    return any(
        load.kind.word == "winch" and ordered_load(case, load, step)[0] > 0.0
        for load, _ in turned_by(case, motor)
    )


RULE = Rule("counterbalance-set-low", Severity.ERROR, check)
