"""Second operating points: what a step comes to from the other start of a part."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.laws.net import Bools
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.equations import Ints
from circuitcheck.solver.operating import OperatingPoint, OtherPoint, Solution
from circuitcheck.solver.results import solution
from circuitcheck.solver.roads import Solved
from circuitcheck.solver.starts import Led, apart, follow, led_parts, stable

METHOD = "led from the second start"


def add_others(found: Answer, result: Solution) -> None:
    """Write into the points of a solved case what else each step may come to.

    Every part that may have two points is led from its second start, all others from their
    natural one. A circuit without such a part is not touched.
    """
    led = led_parts(found)
    for number, one in enumerate(led):
        which: Ints = np.flatnonzero(one.starts.worth & found.found.solved)
        if len(which):
            _add(found, result, led, number, which)


def _add(found: Answer, result: Solution, led: list[Led], number: int, which: Ints) -> None:
    one, equations = led[number], found.equations
    second: Bools = np.arange(len(led)) == number
    point = follow(equations, led, which, second)
    x = found.found.x.copy()
    x[:, which] = np.where(point.arrived, point.x, x[:, which])
    two: Ints = which[point.arrived & apart(equations, led, found.found.x, x)[which]]
    if not len(two):
        return
    method = found.found.method.copy()
    iterations, step = found.found.iterations.copy(), found.found.step.copy()
    iterations[which], step[which] = point.iterations, point.step
    method[two] = METHOD
    solved = Solved(x, found.found.solved, step, iterations, method)
    other = solution(replace(found, found=solved))
    ours, theirs = (stable(equations, y, two, led) for y in (found.found.x, x))
    for place, i in enumerate(two):
        told = OtherPoint(
            part=one.part,
            start=one.starts.words[1],
            given_start=one.starts.words[0],
            stable=bool(theirs[place]),
            given_stable=bool(ours[place]),
            point=other.points[i],
        )
        before = result.points[i]
        result.points[i] = replace(before, others=(*before.others, told))
        result.findings.append(_finding(found, result.points[i], told))


def _finding(found: Answer, point: OperatingPoint, other: OtherPoint) -> Finding:
    part = found.case.circuit.parts[other.part]
    return Finding(
        slug="two-operating-points",
        severity=Severity.ADVICE,
        message=f"step {point.step.name}: {other.part} has two operating points; given is the one "
        f"{other.given_start} ({point[other.part].state}), {other.start} it comes to another "
        f"({other.point[other.part].state})",
        place=part.place,
        component=other.part,
        step=point.step.name,
        remedy="what the machine does before the step decides: start it without load",
    )
