"""What winches and wheels do to the shaft of the motor that drives them, over gears if need be."""

from __future__ import annotations

import math

from circuitcheck.circuit.model import Step
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case

GEARS = ("gearbox", "belt", "clutch")
"""Kinds that hand a shaft on."""


def turned_by(case: Case, motor: Part) -> list[tuple[Part, float]]:
    """Winches, wheels and brakes on a motor, each with the motor's turns to one of its shaft."""
    found = []
    for part in case.of_kind("winch", "wheel", "brake"):
        driver, ratio = _driver(case, part), 1.0
        while driver is not None and driver.kind.word in GEARS:
            ratio *= driver.figure("ratio") or 1.0
            driver = _driver(case, driver)
        if driver is motor:
            found.append((part, ratio))
    return found


def _driver(case: Case, part: Part) -> Part | None:
    return case.circuit.parts.get(part.driven_by) if part.driven_by else None


def has_brake(case: Case, motor: Part) -> bool:
    """Whether a brake holds the shaft of a motor while no oil releases it."""
    return any(part.kind.word == "brake" for part, _ in turned_by(case, motor))


def ordered(case: Case, part: Part, step: Step | None, name: str) -> float:
    """Figure of a part as a step orders it, else as its text gives it, else 0."""
    if step is not None:
        said = case.orders(step, part.name).figures.get(name)
        if said is not None:
            return said.value
    return part.figure(name) or 0.0


def arm(case: Case, load: Part, step: Step | None) -> float:
    """Torque on its shaft for a pull of a winch or wheel, gear loss left out [N m per N]."""
    ratio = load.figure("ratio") or 1.0
    if load.kind.word == "wheel":
        return (load.figure("radius") or 0.0) / ratio
    drum, rope = load.figure("drum") or 0.0, load.figure("rope") or 0.0
    layer = ordered(case, load, step, "layer") or 1.0
    return 0.5 * (drum + (2.0 * layer - 1.0) * rope) / ratio


def hanging_torque(case: Case, motor: Part, step: Step | None) -> float:
    """Torque that always turns a motor back: by what hangs on a rope, or by a slope [N m]."""
    if motor.kind.word == "rotary actuator":
        return ordered(case, motor, step, "moment")
    found = 0.0
    for load, ratio in turned_by(case, motor):
        if load.kind.word == "winch":
            found += ordered(case, load, step, "weight") * arm(case, load, step) / ratio
        elif load.kind.word == "wheel" and step is not None:
            grade = ordered(case, load, step, "grade")
            pull = ordered(case, load, step, "weight") * grade / math.sqrt(1.0 + grade**2)
            found += pull * arm(case, load, step) / ratio
    return found


def ordered_torque(case: Case, motor: Part, step: Step) -> float:
    """Torque of the loads ordered in a step, at the motor's shaft, driving it positive [N m]."""
    found = 0.0
    for part, ratio in [(motor, 1.0), *turned_by(case, motor)]:
        orders = case.orders(step, part.name)
        figure = orders.figures.get("load")
        if figure is None:
            continue
        drives = figure.value < 0.0 or "overrunning" in orders.words
        own = 1.0 if part is motor else arm(case, part, step) / ratio
        found += abs(figure.value) * own * (1.0 if drives else -1.0)
    return found


def rolling_torque(case: Case, motor: Part, step: Step) -> float:
    """Torque that rolling takes from the motion [N m]."""
    return sum(
        (load.figure("rolling") or 0.0) * ordered(case, load, step, "weight")
        * arm(case, load, step) / ratio
        for load, ratio in turned_by(case, motor)
        if load.kind.word == "wheel"
    )  # fmt: skip
