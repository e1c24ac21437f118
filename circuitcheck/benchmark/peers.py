"""Root finders on hand-written balances: scipy, and the algebra system CasADi if installed."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import numpy as np
from scipy.optimize import root

from circuitcheck.benchmark.cases import Bench
from circuitcheck.benchmark.measuring import Measured, imbalance, memory, timed
from circuitcheck.benchmark.ours import apart, case_of, solved
from circuitcheck.benchmark.plain import Number, Plain, figures_of
from circuitcheck.laws.net import System
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.system import build

BALANCED = 1e-6
"""Imbalance up to which a state counts as solved [L/min, or bar in a line]."""

MOST = 200
"""Iterations that CasADi's Newton may take."""


def casadi_is_here() -> bool:
    """Whether the algebra system is installed."""
    return importlib.util.find_spec("casadi") is not None


def _start(whole: Answer, size: int) -> Array:
    """Median of all answers, in each unknown: a better guess than a user would have."""
    start = np.ones(size)
    start[: whole.equations.n] = np.median(whole.found.x, axis=1)
    return start


def _of_arrays(plain: Plain) -> Callable[[Array], Array]:
    """Balances as scipy wants them; not a number where plain numbers cannot be reckoned with."""

    def balances(x: Array) -> Array:
        try:
            return np.array(plain(x.tolist()))
        except (ArithmeticError, ValueError):
            return np.full(plain.size, np.nan)

    return balances


def by_scipy(bench: Bench, task: str, count: int) -> Measured:
    """scipy.optimize.root (hybr), derivatives by differences as it takes them itself."""
    system, whole = build(case_of(bench, task, count)), solved(bench, task, count)
    n = whole.equations.n
    x, good, calls = np.zeros((n, count)), np.zeros(count, dtype=bool), 0
    guess = start = _start(whole, n)
    with np.errstate(all="ignore"), timed() as clock:
        for i in range(count):
            balances = _of_arrays(Plain(system, i, searched=True))
            found = root(balances, guess, tol=1e-10)
            calls += found.nfev
            x[:, i] = found.x
            good[i] = bool(np.abs(balances(found.x)).max() < BALANCED)
            guess = found.x if task == "sweep" and good[i] else start
    return _row("scipy, by hand", whole, x, good, clock.seconds, {"calls": calls / count})


def by_casadi(bench: Bench, task: str, count: int) -> Measured:
    """CasADi's Newton with a line search and exact derivatives, the figures as parameters."""
    import casadi

    system, whole = build(case_of(bench, task, count)), solved(bench, task, count)
    n = whole.equations.n
    x, good, work = np.zeros((n, count)), np.zeros(count, dtype=bool), 0
    with timed() as clock:
        balances, finder, figures = finder_of(casadi, system, count)
        size = int(balances.size1_in(0))
        guess = start = _start(whole, size)
        for i in range(count):
            found = np.asarray(finder(guess, figures[:, i])).ravel()
            work += finder.stats().get("iter_count", 0)
            left = np.abs(np.asarray(balances(found, figures[:, i]))).max()
            good[i] = bool(left < BALANCED)  # what is not a number is not solved either
            x[:, i] = found[:n]
            guess = found if task == "sweep" and good[i] else start
    row = _row("CasADi, by hand", whole, x, good, clock.seconds, {})
    row.iterations = work / count or None
    return row


def finder_of(casadi: Any, system: System, count: int) -> tuple[Any, Any, Array]:
    """Give balances and root finder over (unknowns, figures), and the figures (., count)."""
    symbols: list[Number] = []
    rows: list[Array] = []
    words = SimpleNamespace(
        sqrt=casadi.sqrt,
        log=casadi.log,
        fabs=casadi.fabs,
        larger=casadi.fmax,
        smaller=casadi.fmin,
        choose=casadi.if_else,
    )

    def figures(index: int) -> dict[str, Number]:
        element = system.elements[index]
        found = figures_of(element, 0)
        for name, values in element.coefficients.items():
            if np.any(values != values[0]):
                symbols.append(casadi.SX.sym(f"p{len(symbols)}"))
                rows.append(values)
                found[name] = symbols[-1]
        return found

    plain = Plain(system, 0, words, figures)
    x = casadi.SX.sym("x", plain.size)
    left = casadi.vertcat(*plain([x[i] for i in range(plain.size)]))
    p = casadi.vertcat(*symbols)
    balances = casadi.Function("balances", [x, p], [left])
    options = {"error_on_fail": False, "max_iter": MOST, "abstol": 1e-9}
    finder = casadi.rootfinder("finder", "newton", balances, options)
    return balances, finder, np.array(rows, dtype=float).reshape(-1, count)


def _row(
    way: str, whole: Answer, x: Array, good: Any, seconds: float, more: dict[str, float]
) -> Measured:
    return Measured(
        way,
        x.shape[1],
        seconds,
        float(good.mean()),
        None,
        imbalance(whole.equations, x, good),
        apart(whole, x, good),
        memory(),
        more,
    )
