"""Rules on actuators: their speed, their ends, their way back, two of them side by side."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.circuit.model import Step
from circuitcheck.components._parts import Part
from circuitcheck.components.cylinder import is_single
from circuitcheck.rules._case import Case
from circuitcheck.rules._lines import worst
from circuitcheck.rules._loads import (
    areas,
    commanded,
    cylinders,
    greatest_weight,
    moves,
    ordered_load,
    sides,
    weight,
)
from circuitcheck.rules._rule import Needs, Outcome, Rule


def piston_speed_high(case: Case) -> Iterator[Outcome]:
    """Cylinder that runs too fast for its seals or its end.

    What is checked
        In every solved step: the speed of every cylinder against its own speed limit, else
        0.5 m/s.

    Why it matters on the machine
        Seals run hot, and the piston strikes its end.

    What to do
        A larger bore, low-friction seals, cushions, or a slow-down before the end.

    Limits of this rule
        Standard seals; where a piston slows down before its end is not known to the steps.

    Source
        0.5 m/s from memory, standard seals
    """
    for cylinder in cylinders(case):
        limit = case.limit("most", cylinder, "speed limit")
        found = [(abs(p.parts[cylinder.name].values["speed"]), p) for p in case.points]
        if not found:
            continue
        speed, point = max(found, key=lambda pair: pair[0])
        if speed > limit.value:
            yield case.finding(
                f"{cylinder.name} runs {case.show(speed, 'speed')} in step {point.step.name} "
                f"({case.show(limit.value, 'speed')} is the most, {limit.origin})",
                cylinder,
                step=point.step.name,
                numbers=(Number("speed", speed, "speed"),),
            )


def speed_off_target(case: Case) -> Iterator[Outcome]:
    """Actuator too slow for the way and the time of its step.

    What is checked
        In every solved step that gives both a way and a duration: the speed of the cylinder
        against the way over the duration, more than 10 % below it.

    Why it matters on the machine
        The cycle takes longer than it was sold for.

    What to do
        More flow, or a smaller area; look which area the wanted speed was worked out with.

    Limits of this rule
        An actuator that is done early and waits is right. A speed that is claimed is judged by
        claim-off, with the area that it fits.

    Source
        common practice, no source
    """
    share = case.limit("share")
    for step in case.circuit.steps:
        point = case.point(step.name)
        for cylinder in cylinders(case) if step.duration and point is not None else ():
            way = case.orders(step, cylinder.name).figures.get("travels")
            if way is None or not step.duration:
                continue
            wanted, speed = abs(way.value) / step.duration, _speed(case, cylinder, step)
            if speed < (1.0 - share.value) * wanted:
                yield case.finding(
                    f"{cylinder.name} moves at {case.show(speed, 'speed')} in step {step.name}; "
                    f"{way.text} in {step.duration:g} s ask {case.show(wanted, 'speed')} "
                    f"({share.origin})",
                    cylinder,
                    step=step.name,
                    numbers=(Number("speed", speed, "speed"), Number("asked", wanted, "speed")),
                )


def cushion_overloaded(case: Case) -> Iterator[Outcome]:
    """Cushion that takes more than the cylinder stands.

    What is checked
        In every solved step: the mean pressure in the cushion that stops the mass evenly over
        its length, against the rating of the cylinder.

    Why it matters on the machine
        A peak in the end cap at each stroke: it cracks, or the cushion seal goes.

    What to do
        A deceleration valve, a longer cushion, less speed.

    Limits of this rule
        A real cushion peaks higher than its mean, about twice.

    Source
        balance of energy, textbook
    """
    for cylinder in cylinders(case):
        found, rated = worst(case, cylinder, "cushion pressure"), cylinder.figure("rated")
        if found is None or rated is None or found[1] <= rated:
            continue
        point, pressure = found
        yield case.finding(
            f"{cylinder.name} arrives at {case.show(_speed(case, cylinder, point.step), 'speed')} "
            f"in step {point.step.name}: its cushion makes {case.bar(pressure)} (rated "
            f"{case.bar(rated)})",
            cylinder,
            step=point.step.name,
            numbers=(Number("cushion pressure", pressure, "pressure"),),
        )


def _speed(case: Case, part: Part, step: Step) -> float:
    point = case.point(step.name)
    return 0.0 if point is None else abs(point.parts[part.name].values["speed"])


def motor_speed_outside(case: Case) -> Iterator[Outcome]:
    """Motor that turns too fast, or too slowly to turn evenly.

    What is checked
        In every solved step: the speed of every turning motor against its own speed limit and
        least speed, else at least 50 rpm for axial piston, bent axis and gear motors, 10 rpm for
        all others.

    Why it matters on the machine
        Below, it cogs; above, bearings and filling give out.

    What to do
        Another displacement, or a gearbox.

    Limits of this rule
        Least speeds are trade habit; what the load makes of them is not judged.

    Source
        defaults from memory
    """
    for motor in case.of_kind("motor"):
        fast = motor.says("axial piston") or motor.says("bent axis") or motor.says("gear")
        usual = "least_piston" if fast else "least_orbit"
        least = case.limit(usual, motor, "least speed")
        most = motor.figure("speed limit")
        for point in case.points:
            speed = abs(point.parts[motor.name].values["speed"])
            if moves(case, motor, point.step) and speed < least.value:
                words = f"{case.show(least.value, 'rotation')} is the least ({least.origin})"
            elif most is not None and speed > most:
                words = f"{case.show(most, 'rotation')} is the most (limit from {motor.name})"
            else:
                continue
            yield case.finding(
                f"{motor.name} turns at {case.show(speed, 'rotation')} in step "
                f"{point.step.name}; {words}",
                motor,
                step=point.step.name,
                numbers=(Number("speed", speed, "rotation"),),
            )
            break


def single_acting_no_return(case: Case) -> Iterator[Outcome]:
    """Single-acting cylinder that does not come back.

    What is checked
        Every single-acting cylinder (plunger and telescopic too): has it a spring, a weight
        that pushes it in, or a step with a load that does? And, in a solved step in which it is
        asked to move and its oil can go to tank, does it move?

    Why it matters on the machine
        It stays out: nothing but friction and back pressure acts on it.

    What to do
        A stronger spring, a larger valve or line, or a double-acting cylinder.

    Limits of this rule
        A step that writes no load says nothing of gravity: give the weight.

    Source
        a single-acting cylinder needs another force for its return: book chapter on linear
        circuits
    """
    for cylinder in cylinders(case):
        if len(sides(cylinder)) != 1:
            continue
        pushed = greatest_weight(case, cylinder) > 0.0 or any(
            ordered_load(case, cylinder, step)[0] > 0.0 for step in case.circuit.steps
        )
        sprung = bool(cylinder.figure("spring")) or cylinder.says("spring return")
        if not pushed and not sprung:
            yield case.finding(
                f"{cylinder.name} cannot come back: no spring, no weight and no load pushes it in",
                cylinder,
                port="cap",
            )
            continue
        for state in case.facts.steps:
            step = state.step
            if step is None or not commanded(case, cylinder, step):
                continue
            junction = case.network.at(cylinder.name, "cap")
            empties = junction not in case.facts.supplied(state)
            if empties and junction in case.facts.drained(state) and _stands(case, cylinder, step):
                yield case.finding(
                    f"{cylinder.name} does not come back in step {step.name}: its load and "
                    "spring are less than friction and back pressure",
                    cylinder,
                    port="cap",
                    step=step.name,
                )
                break


def _stands(case: Case, cylinder: Part, step: Step) -> bool:
    point = case.point(step.name)
    if point is None or point.parts[cylinder.name].state == "at end stop":
        return False
    return moves(case, cylinder, step) is False


def cylinders_in_parallel_uneven(case: Case) -> Iterator[Outcome]:
    """Cylinders side by side with different loads.

    What is checked
        Cylinders whose same ports are joined by lines alone, in every step in which both are
        asked to move: do their loads over their bore areas differ by more than 5 %?

    Why it matters on the machine
        Oil takes the easy way: the lighter one moves first, alone.

    What to do
        A mechanical tie, a flow divider, cylinders in series, or a valve for each.

    Limits of this rule
        A mechanical tie cannot be written: accept the finding with that reason.

    Source
        oil takes the path of least resistance: trade article; 5 % common practice, no source
    """
    difference = case.limit("load_difference")
    for one, other in _side_by_side(case):
        for step in case.circuit.steps:
            if not (commanded(case, one, step) and commanded(case, other, step)):
                continue
            first, second = (_asks(case, c, step) for c in (one, other))
            if abs(first - second) > difference.value * max(abs(first), abs(second)):
                yield case.finding(
                    f"{one.name} and {other.name} are in parallel with "
                    f"loads of {case.bar(abs(first))} and {case.bar(abs(second))} on their "
                    f"bores in step {step.name}: the lighter one moves first",
                    one,
                    step=step.name,
                    numbers=(Number("difference", abs(first - second), "pressure"),),
                )
                break


def _side_by_side(case: Case) -> Iterator[tuple[Part, Part]]:
    """Double-acting cylinders of which each side is joined to the same side of the next."""
    seen: set[str] = set()
    for one in case.of_kind("cylinder"):
        if is_single(one) or one.name in seen:
            continue
        caps, rods = (_joined_at(case, one, port) for port in ("cap", "rod"))
        alike = [case.circuit.parts[name] for name in caps if name in rods and name != one.name]
        seen.update(part.name for part in alike)
        for other in alike:
            yield one, other


def _joined_at(case: Case, cylinder: Part, port: str) -> dict[str, None]:
    """Cylinders whose same port is joined to a port by lines alone."""
    junction = case.network.at(cylinder.name, port)
    if junction is None or junction in case.network.tanks:
        return {}
    found = case.facts.region(junction).found
    ends = [end for name in found for end in case.circuit.neighbours(name)]
    return {end.part: None for end in ends if end.port == port
            and case.circuit.parts[end.part].kind.word == "cylinder"}  # fmt: skip


def _asks(case: Case, cylinder: Part, step: Step) -> float:
    """Load against going out over the area of the bore [Pa]."""
    size, drives = ordered_load(case, cylinder, step)
    area = areas(cylinder)[0]
    return ((-size if drives else size) + weight(case, cylinder, step)) / area


RULES = (
    Rule("speed-off-target", Severity.WARNING, speed_off_target, Needs.NUMBERS),
    Rule("piston-speed-high", Severity.WARNING, piston_speed_high, Needs.NUMBERS),
    Rule("cushion-overloaded", Severity.ADVICE, cushion_overloaded, Needs.NUMBERS),
    Rule("motor-speed-outside", Severity.WARNING, motor_speed_outside, Needs.NUMBERS),
    Rule("single-acting-no-return", Severity.ERROR, single_acting_no_return),
    Rule("cylinders-in-parallel-uneven", Severity.ADVICE, cylinders_in_parallel_uneven),
)
