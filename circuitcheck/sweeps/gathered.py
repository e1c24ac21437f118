"""A sweep kept in memory, for tables on the screen: only what was asked for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from circuitcheck.circuit.model import Circuit
from circuitcheck.laws.net import Bools
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.assignment import Wish, assign
from circuitcheck.solver.fitted import Key
from circuitcheck.solver.work import REMARKS, Chunk, NotVaried, Work
from circuitcheck.sweeps.run import CHUNK, Progress

MOST = 1_000_000
"""More variations than these belong into a file; own choice."""


@dataclass(frozen=True)
class Gathered:
    """Solved variations: arrays (steps, variations) in SI by the name of a result.

    ``values`` are what was varied, arrays (variations,); ``remarks`` what is to be said
    against variations, by slug, arrays (steps, variations).
    """

    work: Work
    steps: list[str]
    values: dict[Key, Array]
    results: dict[str, Array]
    solved: Bools
    remarks: dict[str, Bools]

    @property
    def count(self) -> int:
        return self.work.plan.count


def gather(
    circuit: Circuit, wish: Wish, chunk: int = 0, progress: Progress | None = None
) -> Gathered:
    """Solve the variations of a wish, chunk by chunk, and keep the results it names.

    Raises `CircuitError` where something wanted is not there or cannot be, `ValueError`
    without results or for more than `MOST` variations.
    """
    if not wish.results:
        raise ValueError("name the results wanted: results=('C1 speed',)")
    work, assignment = assign(circuit, wish)
    if work.plan.count > MOST:
        raise ValueError(f"{work.plan.count} variations are too many to keep; write a file")
    size, count = chunk or CHUNK, work.plan.count
    chunks: list[Chunk] = []
    try:
        work.check()
        for start in range(0, count, size):
            chunks.append(work.solve(start, min(start + size, count)))
            if progress is not None:
                progress(min(start + size, count), count)
    except NotVaried as refusal:
        raise assignment.refused(refusal.misfit) from None
    return Gathered(
        work,
        chunks[0].steps,
        {key: np.concatenate([c.values[key] for c in chunks]) for key in chunks[0].values},
        {
            name: np.concatenate([c.columns[name] for c in chunks], axis=1)
            for name in chunks[0].columns
        },
        np.concatenate([c.solved for c in chunks], axis=1),
        {slug: np.concatenate([c.remarks[slug] for c in chunks], axis=1) for slug in REMARKS},
    )
