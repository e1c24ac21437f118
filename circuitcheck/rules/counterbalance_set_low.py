"""Counterbalance valve set too low to hold its load.

What is checked
    For every counterbalance valve: its setting against 1.3 times the highest pressure that
    the load alone makes at its port C (weight or overrunning load over the area of the
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
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import areas, filling, greatest_weight, ordered_load, other_side
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    factor = case.limit("factor")
    for valve in case.of_kind("counterbalance"):
        held, setting = case.network.at(valve.name, "C"), valve.figure("set")
        if held is None or setting is None:
            continue
        pressures = _load_pressures(case, held)
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


def _load_pressures(case: Case, held: str) -> list[tuple[float, Part]]:
    """Pressures that loads make in a closed volume, with their actuators."""
    region = case.facts.carried(held)
    found: list[tuple[float, Part]] = []
    for end in (end for name in region.found for end in case.circuit.neighbours(name)):
        part = case.circuit.parts[end.part]
        if part.kind.word == "cylinder":
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
    found = [0.0]
    for step in case.circuit.steps:
        size, drives = ordered_load(case, motor, step)
        if drives:
            found.append(size)
        for winch in case.of_kind("winch"):
            if winch.driven_by == motor.name:
                layer = case.orders(step, winch.name).figures.get("layer")
                layers = 1.0 if layer is None else layer.value
                rope, drum = winch.figure("rope") or 0.0, winch.figure("drum") or 0.0
                radius = 0.5 * (drum + (2.0 * layers - 1.0) * rope)
                pull = ordered_load(case, winch, step)[0]
                found.append(pull * radius / (winch.figure("ratio") or 1.0))
    return max(found)


RULE = Rule("counterbalance-set-low", Severity.ERROR, check)
