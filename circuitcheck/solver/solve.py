"""From a circuit to the operating points of its steps."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.circuit.model import Circuit, Step
from circuitcheck.components._parts import Part
from circuitcheck.laws.net import ROD, Bools
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.history import followed, same
from circuitcheck.solver.newton import STILL
from circuitcheck.solver.operating import Solution
from circuitcheck.solver.results import solution
from circuitcheck.solver.second import add_others
from circuitcheck.solver.starts import settled
from circuitcheck.solver.system import Case, Changes

STEADY = Step("steady")
"""The step of a circuit that has no cycle: every part at rest."""

ROUNDS = 12
"""Rounds after which the history of the steps must have settled, beside one a step."""

LED = 100.0
"""Times the speed of standing above which oil, not leakage, leads an unloaded part."""


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
    case = Case(circuit, circuit.steps or [STEADY], changes or {})
    case = replace(case, directions=_directions(case))
    found = settled(case)
    for _ in range(ROUNDS + case.variants):
        history = followed(found)
        if same(found.case.history, history):
            result = solution(found)
            add_others(found, result)
            result.findings += _undecided(case)
            return result
        found = settled(replace(case, history=history), found)
    result = solution(found)
    result.findings.append(
        Finding(
            slug="steps-do-not-settle",
            severity=Severity.ERROR,
            message="what one step leaves to the next does not settle; a valve that latches, "
            "or a store, goes to and fro",
            place=circuit.place,
            remedy="look at the settings between which it switches, and at the step durations",
        )
    )
    return result


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
    unloaded = settled(case)
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
