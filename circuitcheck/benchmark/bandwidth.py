"""How far the factorisation of a batch is from what the memory could deliver."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np

from circuitcheck.benchmark.cases import Bench
from circuitcheck.benchmark.measuring import Measured
from circuitcheck.benchmark.ours import case_of
from circuitcheck.laws.smoothing import EXACT
from circuitcheck.solver.elimination import Eliminated
from circuitcheck.solver.equations import Equations
from circuitcheck.solver.linear import places_for
from circuitcheck.solver.system import build

LONG, SHORT = 8_000_000, 8_000
"""Lengths of the triad's arrays: out of the processor's memory, and well within it."""


def _best(work: Callable[[], object], times: int) -> float:
    """Least processor time of one of many runs [s]."""
    found = np.inf
    for _ in range(7):
        begin = time.process_time()
        for _ in range(times):
            work()
        found = min(found, (time.process_time() - begin) / times)
    return found


def triad(length: int, times: int) -> float:
    """Bytes a second of a = b + s c as numpy does it: two passes over five arrays."""
    a, b, c = np.zeros(length), np.ones(length), np.ones(length)

    def work() -> None:
        np.multiply(c, 3.0, out=a)
        np.add(a, b, out=a)

    return 5 * 8 * length / _best(work, times)


def factorisation(bench: Bench) -> Measured:
    """Time of one factorisation, beside its figures read and written once at full bandwidth."""
    count = 2000
    equations = Equations(build(case_of(bench, "cold", count)))
    count = min(count, places_for(equations))
    _, entries = equations.chosen(np.arange(count)).residual(equations.start()[:, :count], EXACT)
    plan = equations.pattern.plan
    seconds = _best(lambda: Eliminated(plan, entries), 20) / count
    moved = 8.0 * (len(entries) + plan.size)
    far, near = triad(LONG, 1), triad(SHORT, 500)
    return Measured(
        "factorisation",
        1,
        seconds,
        1.0,
        more={
            "unknowns": equations.n,
            "bytes": moved,
            "memory [GB/s]": far / 1e9,
            "cache [GB/s]": near / 1e9,
            "times memory limit": seconds / (moved / far),
            "times cache limit": seconds / (moved / near),
        },
    )
