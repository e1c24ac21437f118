"""Large networks: grids and ladders of passages, checks and reliefs.

They are written on the level of the equations, not as text: what is measured is the solver.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from circuitcheck.benchmark.measuring import Measured, imbalance, memory, timed
from circuitcheck.benchmark.plain import Plain
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.net import Element, OilState, System
from circuitcheck.solver.equations import Equations
from circuitcheck.solver.roads import find, find_near

SEED = 3

CHANGED = 0.01
"""Share of the elements that are different in the second solution."""

ROOT = L_MIN / math.sqrt(BAR)
"""An opening that passes 1 L/min at 1 bar [m3/(s Pa^0.5)]."""


def _system(variants: int) -> System:
    same = np.ones(variants)
    stiff = lambda _: 1.6e9 * same  # noqa: E731 - nothing here asks for it
    oil = OilState(46e-6 * same, 870.0 * same, 40.0 * same, stiff, stiff, 1950.0, 0.13)
    return System(variants, oil)


def _add(system: System, law: str, ends: tuple[int, ...], **figures: float) -> None:
    name = f"{law}{len(system.elements)}"
    arrays = {key: np.full(system.variants, float(value)) for key, value in figures.items()}
    system.elements.append(Element(law, name, law, ends, ("",) * len(ends), arrays))


def _check(system: System, a: int, b: int, size: float, cracking: float) -> None:
    figures = {"offset": -cracking * BAR, "band": BAR, "leak": 1e-4 * L_MIN / BAR}
    _add(system, "modulated", (a, b, a, a, a), k=size * ROOT, c0=1.0, c1=-1.0, **figures)


def _relief(system: System, a: int, tank: int, setting: float) -> None:
    figures = {"offset": -setting * BAR, "band": 20 * BAR, "leak": 1e-4 * L_MIN / BAR}
    _add(system, "modulated", (a, tank, tank, tank, tank), k=10 * ROOT, c0=1.0, **figures)


def _held(system: System, name: str, pressure: float) -> int:
    index = system.add_pressure(name)
    system.pin(index, pressure * BAR)
    return index


def grid(n: int, variants: int = 1) -> System:
    """A square grid of resistors, orifices and checks between a 200 bar supply and tank."""
    rng, side, system = np.random.default_rng(SEED), max(math.isqrt(n), 2), _system(variants)
    at = [[system.add_pressure(f"{i},{j}") for j in range(side)] for i in range(side)]
    tank, supply = _held(system, "T", 0.0), _held(system, "S", 200.0)
    for i in range(side):
        for j in range(side):
            for k, m in ((i + 1, j), (i, j + 1)):
                if k < side and m < side:
                    _between(system, at[i][j], at[k][m], rng)
            if rng.random() < 0.02:
                _relief(system, at[i][j], tank, 100.0)
            if rng.random() < 0.02:
                _add(system, "orifice", (at[i][j], tank), k=0.5 * ROOT)
    for j in range(0, side, 5):
        _add(system, "orifice", (supply, at[0][j]), k=20 * ROOT)
    return system


def _between(system: System, a: int, b: int, rng: np.random.Generator) -> None:
    kind = rng.random()
    if kind < 0.7:
        laminar = BAR / L_MIN * 10 ** rng.uniform(-1, 1)
        turbulent = BAR / L_MIN**2 * 10 ** rng.uniform(-3, -1)
        _add(system, "resistor", (a, b), r1=laminar, r2=turbulent)
    elif kind < 0.9:
        size = ROOT * 10 ** rng.uniform(0, 1.5)
        _add(system, "orifice", (a, b), k=size, leak=1e-3 * L_MIN / BAR)
    else:
        _check(system, a, b, 20.0, 0.5)


def ladder(n: int, variants: int = 1) -> System:
    """A long row of resistors and checks from a 300 bar supply, reliefs and orifices to tank."""
    rng, system = np.random.default_rng(SEED), _system(variants)
    tank, before = _held(system, "T", 0.0), _held(system, "S", 300.0)
    for i in range(n):
        here = system.add_pressure(f"{i}")
        if i % 3 == 2:
            _check(system, before, here, 50.0, 0.2)
        else:
            figures = {"r1": 0.01 * BAR / L_MIN, "r2": 1e-4 * BAR / L_MIN**2}
            _add(system, "resistor", (before, here), **figures)
        if i % 10 == 5:
            _relief(system, here, tank, rng.uniform(50.0, 200.0))
        if i % 4 == 1:
            _add(system, "orifice", (here, tank), k=0.02 * ROOT)
        before = here
    return system


NETWORKS: dict[str, Callable[[int, int], System]] = {"grid": grid, "ladder": ladder}


def _changed(system: System) -> None:
    """In the second variant one element of a hundred passes a tenth more."""
    rng = np.random.default_rng(SEED + 1)
    count = max(1, round(CHANGED * len(system.elements)))
    for index in rng.choice(len(system.elements), count, replace=False):
        figures = system.elements[index].coefficients
        name = "k" if "k" in figures else "r1"
        figures[name] = figures[name] * np.array([1.0, 1.1 if name == "k" else 1.0 / 1.1])


def ours(word: str, n: int) -> Measured:
    """A network from cold, and once more after a change of a hundredth of its elements."""
    system = NETWORKS[word](n, 2)
    _changed(system)
    with timed() as made:
        equations = Equations(system)
    with timed() as cold:
        found = find(equations, among=np.array([0]))
    near = np.repeat(found.x[:, :1], 2, axis=1)
    with timed() as warm:
        again = find_near(equations, near, np.array([1]))
    held = memory()
    good = np.array([bool(found.solved[0]), bool(again.solved[1])])
    x = np.stack([found.x[:, 0], again.x[:, 1]], axis=1)
    return Measured(
        "ours, sparse",
        1,
        cold.seconds,
        float(good.mean()),
        float(found.iterations[0]),
        imbalance(equations, x, good),
        float("nan"),
        held,
        {
            "unknowns": equations.n,
            "warm": warm.seconds,
            "warm iterations": float(again.iterations[1]),
            "equations": made.seconds,
        },
    )


def both_ways(word: str, n: int, count: int) -> Measured:
    """The same states by sparse and by batched factors: how far the answers are apart."""
    system = NETWORKS[word](n, count)
    rng = np.random.default_rng(SEED + 2)
    for element in system.elements:
        for name in element.coefficients.keys() & {"k", "r1"}:
            element.coefficients[name] = element.coefficients[name] * rng.uniform(0.5, 2.0, count)
    answers = []
    for large in (True, False):
        equations = Equations(system)
        equations.sparse = large
        answers.append(find(equations))
    one, other = answers
    good = one.solved & other.solved
    return Measured(
        "sparse against batched",
        count,
        solved=float(good.mean()),
        imbalance=imbalance(equations, one.x, good),
        apart=float(np.abs(one.x - other.x)[:, good].max(initial=0.0)),
        more={"unknowns": equations.n},
    )


def by_scipy(word: str, n: int) -> Measured:
    """scipy.optimize.root (krylov, no matrix) on balances written by hand."""
    from scipy.optimize import NoConvergence, root

    system = NETWORKS[word](n, 1)
    plain = Plain(system, 0)

    def left(x: np.ndarray[tuple[int], np.dtype[np.float64]]) -> list[float]:
        return plain(x.tolist())

    with np.errstate(all="ignore"), timed() as clock:
        try:
            x = root(left, np.full(plain.size, 100.0), method="krylov", options={"fatol": 1e-6}).x
        except (NoConvergence, ValueError, OverflowError):
            x = np.full(plain.size, np.nan)
    worst = max(map(abs, left(x))) if np.isfinite(x).all() else np.inf
    return Measured(
        "scipy krylov", 1, clock.seconds, float(worst < 1e-4), None, worst, np.nan, memory()
    )


def by_casadi(word: str, n: int) -> Measured:
    """CasADi's Newton with a line search and exact sparse derivatives."""
    import casadi

    from circuitcheck.benchmark.peers import finder_of

    system = NETWORKS[word](n, 1)
    with timed() as clock:
        balances, finder, _ = finder_of(casadi, system, 1)
        size = int(balances.size1_in(0))
        x = np.asarray(finder(np.full(size, 100.0), [])).ravel()
        worst = float(np.abs(np.asarray(balances(x, []))).max())
    work = float(finder.stats().get("iter_count", 0)) or None
    good = float(worst < 1e-6)
    return Measured("CasADi", 1, clock.seconds, good, work, worst, np.nan, memory())


def by_simulator(word: str, n: int) -> Measured:
    """ngspice's operating point from cold."""
    import tempfile
    from pathlib import Path

    from circuitcheck.benchmark.analogue import simulator
    from circuitcheck.benchmark.analogue.netlist import Netlist
    from circuitcheck.benchmark.electrical import operating_point, program

    path = program()
    if path is None:
        raise RuntimeError("ngspice is not installed")
    system = NETWORKS[word](n, 1)
    net = Netlist(system, 0).write()
    with tempfile.TemporaryDirectory() as place, timed() as clock:
        volts = operating_point(path, Path(place), net, simulator.PATIENCE)
    equations, good = Equations(system), np.array([bool(volts)])
    x = np.array([[volts.get(f"n{i}", 0.0)] for i in equations.free])
    return Measured(
        "ngspice",
        1,
        clock.seconds,
        float(good.mean()),
        None,
        imbalance(equations, x, good),
        np.nan,
        memory(),
    )
