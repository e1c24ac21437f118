"""The network simulator ngspice on the same laws: operating points cold, and a sweep."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from circuitcheck.benchmark.analogue import simulator
from circuitcheck.benchmark.analogue.netlist import SPEED, Netlist
from circuitcheck.benchmark.cases import Bench
from circuitcheck.benchmark.measuring import Measured, imbalance, memory, timed
from circuitcheck.benchmark.ours import apart, solved
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.answer import Answer

FIGURES = 6
"""Figures of our first point that the simulator's sweep starts from."""

AT_MOST = 20.0
"""Time that it may take for one state on the clock; most take under one [s]."""

BALANCED = 1e-3
"""Imbalance up to which what it calls a solution is one [L/min, or bar on a piston]."""


def program() -> str | None:
    """Path of the simulator, None if it is not installed."""
    return shutil.which("ngspice")


def by_simulator(bench: Bench, task: str, count: int) -> Measured:
    """Operating points one by one without a guess, or a direct-current sweep of the load."""
    path = program()
    if path is None:
        raise RuntimeError("ngspice is not installed")
    whole = solved(bench, task, count)
    with tempfile.TemporaryDirectory() as place:
        run = _swept if task == "sweep" else _cold
        x, good, seconds = run(path, Path(place), bench, whole)
    return Measured(
        "ngspice",
        count,
        seconds,
        float(good.mean()),
        None,
        imbalance(whole.equations, x, good),
        apart(whole, x, good),
        memory(),
    )


def operating_point(path: str, place: Path, net: Netlist, patience: float) -> dict[str, float]:
    """Volts by node without any guess; nothing if the simulator finds none in time."""
    try:
        return simulator.steady(path, place, net, {}, patience)
    except (simulator.NoPointError, subprocess.TimeoutExpired):
        return {}


def _cold(path: str, place: Path, _: Bench, whole: Answer) -> tuple[Array, Any, float]:
    system = whole.system
    x, good = np.zeros_like(whole.found.x), np.zeros(system.variants, dtype=bool)
    seconds = 0.0
    for i in range(system.variants):
        net = Netlist(system, i).write()
        with timed() as clock:
            volts = operating_point(path, place, net, AT_MOST)
        seconds += clock.seconds
        if volts:
            si = np.array([volts[f"n{j}"] * SPEED[u.kind] for j, u in enumerate(system.unknowns)])
            x[:, i] = whole.equations.scaled(si[:, None])[:, 0]
            good[i] = imbalance(whole.equations, x, np.arange(system.variants) == i) < BALANCED
    return x, good, seconds


def _swept(path: str, place: Path, bench: Bench, whole: Answer) -> tuple[Array, Any, float]:
    """The load becomes a source of its own, which the simulator moves in even steps."""
    system, count = whole.system, whole.system.variants
    part, _ = bench.swept
    loads = [e for e in system.elements if e.law == "load" and e.part == part]
    (hung,) = [e for e in loads if np.any(np.diff(e.coefficients["resisting"]))]
    forces = hung.coefficients["resisting"] / 10.0  # one ampere is 10 N
    none = replace(hung, coefficients={**hung.coefficients, "resisting": np.zeros(count)})
    others = replace(system, elements=[none if e is hung else e for e in system.elements])
    rod = f"n{hung.terminals[0]}"

    def moved(held: tuple[float, ...] = ()) -> Netlist:
        net = Netlist(others, 0, held=held).write()
        way = net.way(rod, "rod")
        net.lines.append(f"Vmoved moved 0 {forces[0]:.17g}")
        net.current(rod, "0", f"v(moved)*{way}")
        return net

    held = tuple(float(f"{value:.{FIGURES}g}") for value in whole.whole[:, 0])
    near = simulator.steady(path, place, moved(held), {})
    near = simulator.steady(path, place, moved(), near)
    guesses = [f".nodeset v({node})={volts:.15g}" for node, volts in near.items()]
    data, free = place / "swept.data", whole.equations.free
    step = (forces[-1] - forces[0]) / (count - 1)
    orders = [
        "set wr_singlescale",
        "option numdgt=15",
        f"dc Vmoved {forces[0]:.17g} {forces[-1] + 0.5 * step:.17g} {step:.17g}",
        f"wrdata {data} " + " ".join(f"v(n{j})" for j in free),
    ]
    lines = [*moved().lines, *guesses]
    with timed() as clock:
        try:
            said = simulator.run(path, place, lines, orders, simulator.AT_THE_END)
        except subprocess.TimeoutExpired:
            raise RuntimeError(f"its sweep does not end in {simulator.PATIENCE} s") from None
    if not data.exists():
        raise RuntimeError("its sweep stops: " + " ".join(said.split())[-120:])
    table = np.loadtxt(data)[:count, 1:]
    kinds = np.array([SPEED[system.unknowns[j].kind] for j in free])
    x, good = np.zeros_like(whole.found.x), np.zeros(count, dtype=bool)
    found = whole.equations.scaled(_spread(table * kinds, free, len(system.unknowns)))
    x[:, : len(table)], good[: len(table)] = found, True
    return x, good, clock.seconds


def _spread(table: Array, free: Any, unknowns: int) -> Array:
    """Put the free unknowns of (points, free) among all, (unknowns, points)."""
    whole = np.zeros((unknowns, len(table)))
    whole[free] = table.T
    return whole
