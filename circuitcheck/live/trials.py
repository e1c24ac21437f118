"""Solves a circuit of which a figure was turned a little, from the answer before."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from circuitcheck.circuit.model import Circuit
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.history import followed
from circuitcheck.solver.operating import OperatingPoint
from circuitcheck.solver.results import solution
from circuitcheck.solver.settling import settle
from circuitcheck.solver.solve import STEADY
from circuitcheck.solver.system import Case


@dataclass(frozen=True)
class Before:
    """An answer, and what the circuit must have in common with the next one to start from it."""

    build: tuple[Any, ...]
    answer: Answer


def solve(circuit: Circuit, before: Before | None) -> tuple[list[OperatingPoint], Before]:
    """Give the operating points of all steps, started from the answer of nearly the same circuit.

    Other operating points of the same step are not looked for here: what is asked as long as a
    figure is being turned is asked again, in full, when it stands still.
    """
    build = _build(circuit)
    start = before.answer if before is not None and before.build == build else None
    found = settle(Case(circuit, circuit.steps or [STEADY], {}), before=start).answer
    # how long the steps last is of this answer, not of the one before
    found = replace(found, case=replace(found.case, history=followed(found)))
    return solution(found).points, Before(build, found)


def _build(circuit: Circuit) -> tuple[Any, ...]:
    """Give all of a circuit that decides its equations but the values of its figures."""
    parts = tuple(
        (name, part.kind.word, tuple(part.figures), tuple(part.choices.items()),
         tuple(part.many.items()), part.driven_by, part.partner, part.ways)
        for name, part in circuit.parts.items()
    )  # fmt: skip
    junctions = tuple((name, tuple(j.ends)) for name, j in circuit.junctions.items())
    steps = tuple(
        (step.name, tuple((name, o.position, o.words, tuple(o.figures))
                          for name, o in step.orders.items()))
        for step in circuit.steps
    )  # fmt: skip
    return parts, junctions, steps
