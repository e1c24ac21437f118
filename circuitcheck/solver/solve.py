"""From a circuit to the operating points of its steps."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.circuit.model import Circuit, Step
from circuitcheck.components._parts import Part
from circuitcheck.laws.machines import STILL_ROD
from circuitcheck.laws.net import ROD, Bools
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.answer import Answer, answer
from circuitcheck.solver.newton import STILL
from circuitcheck.solver.operating import Solution
from circuitcheck.solver.results import solution
from circuitcheck.solver.system import Case, Changes

STEADY = Step("steady")
"""The step of a circuit that has no cycle: every part at rest."""

LED = 100.0
"""Times the speed of standing above which oil, not leakage, leads an unloaded part."""

NEAR = 1e-6
"""A rod this near to an end stands at it [m]."""


def solve(circuit: Circuit, changes: Changes | None = None) -> Solution:
    """Solve every step of a circuit.

    Parameters
    ----------
    circuit : Circuit
    changes : mapping, optional
        Figures in place of those of the text, {(part, figure): SI value}

    Returns
    -------
    Solution
        A point per step; a step that could not be solved is marked so and named in the
        findings. A circuit without steps is solved once, all parts at rest.
    """
    case = Case(circuit, circuit.steps or [STEADY], changes or {}, {}, {})
    case = replace(case, directions=_directions(case))
    found = answer(case)
    while True:
        stopped = _stopped(found)
        if all(
            (still == found.case.stopped.get(name, still & False)).all()
            for name, still in stopped.items()
        ):
            result = solution(found)
            result.findings += _undecided(case)
            return result
        found = answer(replace(case, stopped=stopped))


def _drives_motion(case: Case, part: Part) -> Bools:
    """Where an order gives the part a load that drives the motion."""
    if all(order.name != "load" for order in part.kind.orders):
        return np.zeros(case.variants, dtype=bool)
    driving: Bools = (case.order_of(part)("load", 0.0) < 0.0) | case.said(part)("overrunning")
    return driving


def _directions(case: Case) -> dict[str, Array]:
    """Direction in which a part with a driving load would go if it had no load."""
    parts = [p for p in case.circuit.parts.values() if _drives_motion(case, p).any()]
    if not parts:
        return {}
    unloaded = answer(case)
    found: dict[str, Array] = {}
    for part in parts:
        owner = (part.kind.driven and part.driven_by) or part.name
        index = unloaded.owners.get(owner)
        if index is None:
            continue
        kind = unloaded.system.unknowns[index].kind
        speed = unloaded.whole[index]
        moves = np.abs(speed) > LED * STILL[kind]
        # a single-acting rod that no oil moves can only be pushed in
        back = -1.0 if kind == ROD and unloaded.single_acting(owner) else 0.0
        found[part.name] = np.where(moves, np.sign(speed), back)
    return found


def _undecided(case: Case) -> list[Finding]:
    """Name loads that drive a motion whose direction the circuit does not decide."""
    found: list[Finding] = []
    for name, ways in case.directions.items():
        part = case.circuit.parts[name]
        for i in np.flatnonzero((ways == 0.0) & _drives_motion(case, part)):
            step = case.steps[i]
            found.append(
                Finding(
                    slug="load-direction-open",
                    severity=Severity.WARNING,
                    message=f"step {step.name}: which way the load drives {name} is not decided, "
                    "nothing else moves it; the load is left out",
                    place=step.place,
                    component=name,
                    step=step.name,
                    remedy="give a load that stands still as a weight of the part, not of the step",
                )
            )
    return found


def _stopped(found: Answer) -> dict[str, Bools]:
    """Where a rod that no step orders to move would run on past the end it stands at.

    The ways of the steps are followed from a retracted start. What is stopped already
    stays so.
    """
    case = found.case
    stops: dict[str, Bools] = {}
    for part in case.circuit.of_kind("cylinder"):
        stroke = part.figure("stroke") or 0.0
        speed = found.speed(part.name)
        stopped = case.stopped.get(part.name, np.zeros(case.variants, dtype=bool)).copy()
        place = 0.0
        for i, orders in enumerate(case.orders(part.name)):
            way = orders.figures.get("travels")
            moving = abs(speed[i]) > STILL_ROD
            if way is None and "load" not in orders.figures:
                beyond = place <= NEAR if speed[i] < 0.0 else place >= stroke - NEAR
                stopped[i] |= moving and beyond
            if moving and not stopped[i]:
                on = speed[i] * (case.steps[i].duration or 0.0)
                place += on if way is None else np.sign(speed[i]) * way.value
                place = min(max(place, 0.0), stroke)
        stops[part.name] = stopped
    return stops
