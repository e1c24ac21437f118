"""How the Jacobians of some variants are factorised: dense, in a fixed order, or sparse."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.elimination import Eliminated
from circuitcheck.solver.equations import Equations
from circuitcheck.solver.factors import Dense, Factors, Sparse

DENSE_UP_TO = 150
"""Unknowns above which a sparse factorisation is faster (own measurement)."""


MANY = 24
"""Variants from which elimination in a fixed order pays (own measurement)."""

MOST, ROOM = 10_000, 400_000
"""Places at most, and Jacobian entries of all places together: what is saved in calls of numpy is
more than what is lost beside the processor's memory (own measurement)."""


Linear = Callable[[Array], Factors]
"""Factorises Jacobians given by their entries, shape (entries, variants)."""


def is_large(equations: Equations) -> bool:
    """Whether a circuit is too large for dense factors, or sparse ones are asked for."""
    return equations.sparse or equations.n > DENSE_UP_TO


def linear_for(equations: Equations, variants: int) -> Linear:
    """Choose how to factorise Jacobians of so many variants; the result takes their entries."""
    if is_large(equations):
        return partial(Sparse, equations.pattern.ordering)
    if variants < MANY:
        return partial(Dense, equations.n, equations.pattern.rows, equations.pattern.columns)
    return partial(Eliminated, equations.pattern.plan)


def places_for(equations: Equations) -> int:
    """Variants to work on at a time; it bounds the memory."""
    return max(MANY, min(MOST, ROOM // max(equations.pattern.entries, 1)))
