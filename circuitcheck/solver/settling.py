"""Solves a case until what its steps leave to each other no longer changes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from circuitcheck.components._parts import Part
from circuitcheck.laws.net import ROD, Bools
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.history import differing, followed
from circuitcheck.solver.newton import STILL
from circuitcheck.solver.starts import settled
from circuitcheck.solver.system import Case

ROUNDS = 12
"""Rounds after which the history of the steps must have settled, beside one a step."""

LED = 100.0
"""Times the speed of standing above which oil, not leakage, leads an unloaded part."""


@dataclass
class Settled:
    """A solved case; ``changing`` marks variations whose steps do not settle, (variations,)."""

    answer: Answer
    changing: Bools

    @property
    def undecided(self) -> dict[str, Bools]:
        """Where nothing decides which way a part is driven by its load, (variants,) by part."""
        case = self.answer.case
        return {
            name: (ways == 0.0) & drives_motion(case, case.circuit.parts[name])
            for name, ways in case.directions.items()
        }


def settle(
    case: Case,
    along: bool = False,
    before: Answer | None = None,
    directions: Mapping[str, Array] | None = None,
    start: Array | None = None,
) -> Settled:
    """Solve a case round by round; ``along``: neighbouring variations are near each other.

    ``before`` is an answer of nearly the same case, to start from. Where there is none, known
    ``directions`` of parts with a driving load save solving it without loads, and ``start``
    (unknowns, variants) in SI is where to look first.
    """
    if before is None:
        known = _directions(case, along) if directions is None else dict(directions)
        case = replace(case, directions=known)
    else:
        case = replace(case, directions=before.case.directions, history=before.case.history)
    found = settled(case, before, along=along, start=start)
    changing = np.zeros(case.variations, dtype=bool)
    last: Answer | None = None
    for _ in range(ROUNDS + len(case.steps)):
        history = followed(found, last)
        differs = differing(found.case.history, history, case)
        changing = case.by_step(differs).any(axis=0)
        if not changing.any():
            break
        last, found = found, settled(replace(case, history=history), found)
    return Settled(found, changing)


def drives_motion(case: Case, part: Part) -> Bools:
    """Where an order gives the part a load that drives the motion."""
    if all(order.name != "load" for order in part.kind.orders):
        return np.zeros(case.variants, dtype=bool)
    driving: Bools = (case.order_of(part)("load", 0.0) < 0.0) | case.said(part)("overrunning")
    return driving


def _directions(case: Case, along: bool) -> dict[str, Array]:
    """Direction in which a part with a driving load would go if it had no load."""
    parts = [p for p in case.circuit.parts.values() if drives_motion(case, p).any()]
    if not parts:
        return {}
    unloaded = settled(case, along=along)
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
