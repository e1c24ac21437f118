"""A random circuit under many random settings at once: solved together, checked together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from circuitcheck.circuit.model import Circuit
from circuitcheck.laws.smoothing import EXACT, Array
from circuitcheck.pipeline import parse
from circuitcheck.solver.accounts import account
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.newton import rounding
from circuitcheck.solver.results import heat_from_outside
from circuitcheck.solver.settling import settle
from circuitcheck.solver.system import Case
from tests.properties.checks import BALANCE, LOWEST, UNSOLVED
from tests.properties.design import Design
from tests.properties.settings import Changes, Lots, settings
from tests.properties.writing import text_of

OPEN = 1e-7
"""Flow that may be missing at a junction, beyond the rounding of its pressures [L/min]."""


@dataclass
class Batch:
    """What became of a circuit under its settings; ``wrong``: variants by sort of fault.

    ``plain``: worst imbalance of flows as computed [L/min]; ``imbalance``: what of it is more
    than the last places of the unknowns make through the slopes (`newton.rounding`).
    """

    text: str
    changes: Changes
    found: Answer
    plain: Array
    imbalance: Array
    wrong: dict[str, list[int]]

    def telling(self, variant: int) -> str:
        """The circuit in one step with one setting, as far as it can be told in words."""
        step, i = divmod(variant, self.found.case.variations)
        name = self.found.case.steps[step].name
        said = ", ".join(
            f"{part} {figure} {values[i]:.6g}" for (part, figure), values in self.changes.items()
        )
        return f"# step {name}, setting {i} (SI): {said}\n{self.text}"


def solved(design: Design, seed: int, count: int) -> Batch:
    """Solve a circuit under ``count`` settings in every step and look at the answer."""
    text = text_of(design)
    circuit = parse(text).circuit
    changes = settings(design, circuit, Lots(seed, count))
    case = Case(circuit, circuit.steps, changes, variations=count)
    found = settle(case).answer
    answered = found.found.solved
    plain = np.where(answered, _missing(found, beyond_rounding=False), 0.0)
    imbalance = np.where(answered, _missing(found), 0.0)
    return Batch(text, changes, found, plain, imbalance, looked_at(found))


def looked_at(found: Answer) -> dict[str, list[int]]:
    """Give the variants that are wrong by the sort of fault."""
    solved = found.found.solved
    wrong = {
        UNSOLVED: ~solved,
        "flow": solved & (_missing(found) > OPEN),
        "vacuum": solved & (_lowest(found.case.circuit, found) < LOWEST),
        "power": solved & (_power(found) > BALANCE),
    }
    return {sort: np.flatnonzero(where).tolist() for sort, where in wrong.items() if where.any()}


def _missing(found: Answer, beyond_rounding: bool = True) -> Array:
    """Worst imbalance of flows, beyond rounding or plain, by variant [L/min]."""
    equations = found.equations
    if not equations.n:
        return np.zeros(found.case.variants)
    r, entries = equations.chosen(np.arange(equations.variants)).residual(found.found.x, EXACT)
    open_ = np.abs(r)
    if beyond_rounding:
        open_ = open_ - rounding(equations, found.found.x, entries)
    rows = np.where(equations.pressure_rows[:, None], open_, 0.0)
    worst: Array = np.max(rows, axis=0, initial=0.0)
    return worst


def _power(found: Answer) -> Array:
    heaters, _ = heat_from_outside(found)
    books = account(found.system, found.whole, found.values, found.reaction, heaters)
    size = np.maximum(np.maximum(np.abs(books.input), np.abs(books.useful)), 1.0)
    made = [np.where(loss < -1e-6 * size, 1.0, 0.0) for loss in books.loss.values()]
    worst: Array = np.max([books.error, *made], axis=0)
    return worst


def _lowest(circuit: Circuit, found: Answer) -> Array:
    """Lowest pressure of any chamber, by variant [Pa]."""
    ports = [
        found.ports_of[part.name][letter]
        for part in circuit.of_kind("cylinder", "motor")
        for letter in ("cap", "rod", "A", "B")
        if letter in found.ports_of.get(part.name, {})
    ]
    lowest: Array = np.min(found.whole[ports], axis=0, initial=0.0)
    return lowest
