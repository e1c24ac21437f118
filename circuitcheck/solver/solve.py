"""From a circuit to the operating points of its steps."""

from __future__ import annotations

import numpy as np

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.circuit.model import Circuit, Step
from circuitcheck.solver.operating import Solution
from circuitcheck.solver.results import solution
from circuitcheck.solver.second import add_others
from circuitcheck.solver.settling import Settled, settle
from circuitcheck.solver.system import Case, Changes
from circuitcheck.solver.uniqueness import second_points

STEADY = Step("steady")
"""The step of a circuit that has no cycle: every part at rest."""


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
    settled = settle(Case(circuit, circuit.steps or [STEADY], changes or {}))
    result = solution(settled.answer)
    if not settled.changing.any():
        add_others(settled.answer, result)
        result.findings += _undecided(settled)
        result.findings += second_points(settled.answer, result)
        return result
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


def _undecided(settled: Settled) -> list[Finding]:
    """Name loads that drive a motion whose direction the circuit does not decide."""
    found: list[Finding] = []
    for name, where in settled.undecided.items():
        for i in np.flatnonzero(where):
            step = settled.answer.case.step_of(int(i))
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
