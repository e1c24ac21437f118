"""Runs the network simulator: first in time from rest, then for the exact steady point."""

from __future__ import annotations

import subprocess
from pathlib import Path

from circuitcheck.benchmark.analogue.netlist import SPEED, STILL, Netlist
from circuitcheck.laws.net import System

CREEPS = (100.0, 10.0, 1.0)
"""On the way rods count as standing below many times the speed of the answer."""

FIGURES = (6, 8)
"""Figures to which known values are rounded before they are confirmed: with fewer, two shafts
that a clutch holds together to 1e-5 would start far apart in torque."""

PATIENCE = 90
"""Time that one run may take on a busy machine [s]; a free one needs 7 s at most."""

ON_THE_WAY = "reltol=1e-4 vntol=1e-6 abstol=1e-7 method=gear itl4=60"
AT_THE_END = "reltol=1e-9 vntol=1e-9 abstol=1e-10 itl1=500"


class NoPointError(Exception):
    """The simulator found no steady point; its message is carried."""


def run(
    program: str,
    folder: Path,
    lines: list[str],
    orders: list[str],
    options: str,
    patience: float = PATIENCE,
) -> str:
    """Run lines of a network with orders and options; give all that the program says."""
    deck = ["* hydraulic circuit", *lines, f".options {options}", ".control", *orders]
    path = folder / "deck.cir"
    path.write_text("\n".join([*deck, "quit", ".endc", ".end", ""]), encoding="utf-8")
    done = subprocess.run(
        [program, "-b", str(path)],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=patience,
        check=False,
    )
    return done.stdout + done.stderr


def from_rest(program: str, folder: Path, net: Netlist) -> dict[str, float]:
    """Let every volume fill and every rod move from rest; give the last volts by node."""
    data = folder / "last.data"
    data.unlink(missing_ok=True)
    orders = ["set wr_singlescale", "option numdgt=15", "tran 1e-3 5 0 uic"]
    for start in range(0, len(net.nodes), 20):
        part = " ".join(f"v({node})" for node in net.nodes[start : start + 20])
        orders.append(f"wrdata {data}.{start} {part}")
    said = run(program, folder, net.lines, orders, ON_THE_WAY)
    found: dict[str, float] = {}
    for start in range(0, len(net.nodes), 20):
        path = Path(f"{data}.{start}")
        if not path.exists():
            raise NoPointError(said[-2000:])
        last = [float(word) for word in path.read_text().splitlines()[-1].split()[1:]]
        path.unlink()
        found |= dict(zip(net.nodes[start : start + 20], last, strict=True))
    return found


def steady(
    program: str,
    folder: Path,
    net: Netlist,
    near: dict[str, float],
    patience: float = PATIENCE,
) -> dict[str, float]:
    """Find the steady point near given volts with tight tolerances."""
    guesses = [f".nodeset v({node})={volts:.10g}" for node, volts in near.items()]
    orders = ["set numdgt=15", "op", *(f"print v({node})" for node in net.nodes)]
    said = run(program, folder, [*net.lines, *guesses], orders, AT_THE_END, patience)
    found: dict[str, float] = {}
    for line in said.splitlines():
        left, _, right = line.partition(" = ")
        if left.startswith("v(") and right:
            found[left[2:].rstrip(")")] = float(right)
    if len(found) != len(net.nodes):
        raise NoPointError(said[-2000:])
    return found


def solve(program: str, folder: Path, system: System, variant: int) -> list[float]:
    """Give every unknown of a system in SI, in its order, as the simulator finds it."""
    volts = from_rest(program, folder, Netlist(system, variant, creep=CREEPS[0]).write())
    last = CREEPS[0]
    for creep in CREEPS:
        for index, unknown in enumerate(system.unknowns):
            still = STILL.get(unknown.kind, 0.0) * last / SPEED[unknown.kind]
            if abs(volts[f"n{index}"]) < still:
                volts[f"n{index}"] *= creep / last
        volts = steady(program, folder, Netlist(system, variant, creep=creep).write(), volts)
        last = creep
    return _in_si(system, volts)


def confirm(
    program: str, folder: Path, system: System, variant: int, whole: list[float]
) -> list[float]:
    """Give every unknown in SI, found from given values rounded to a few figures.

    For circuits that swing for ever when they are let go from rest, as a counterbalance
    valve without damping does: equations and derivatives are still the simulator's own.
    """
    for figures in FIGURES:
        held = tuple(float(f"{value:.{figures}g}") for value in whole)
        near = steady(program, folder, Netlist(system, variant, held=held).write(), {})
        try:
            volts = steady(program, folder, Netlist(system, variant).write(), near)
        except NoPointError:
            continue
        return _in_si(system, volts)
    raise NoPointError(f"no steady point near the given one, not even from {FIGURES[-1]} figures")


def _in_si(system: System, volts: dict[str, float]) -> list[float]:
    return [
        volts[f"n{index}"] * SPEED[unknown.kind] for index, unknown in enumerate(system.unknowns)
    ]
