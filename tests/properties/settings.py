"""Random settings of a random circuit: loads, openings, settings, sizes, wear, oil."""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.circuit.model import Circuit
from circuitcheck.laws.smoothing import Array
from tests.properties.design import Branch, Design
from tests.properties.writing import Units, Writer

THIN, THICK = 5e-6, 500e-6
"""Least and greatest viscosity of the oil [m2/s]."""

Changes = dict[tuple[str, str], Array]


class Lots:
    """Draws arrays of so many figures from a seed."""

    def __init__(self, seed: int, count: int) -> None:
        self._random, self.count = np.random.default_rng(seed), count

    def between(self, low: float, high: float) -> Array:
        """Even between two figures."""
        return self._random.uniform(low, high, self.count)

    def times(self, low: float, high: float) -> Array:
        """Even on a logarithmic scale."""
        return np.exp(self._random.uniform(math.log(low), math.log(high), self.count))


def settings(design: Design, circuit: Circuit, lots: Lots) -> Changes:
    """Give changes of a circuit, {(part, figure): values}, one value for each variation."""
    changes: Changes = {("oil", "temperature"): _temperatures(circuit, lots)}
    given = {name: part.figures for name, part in circuit.parts.items()}
    level = lots.times(0.3, 1.5)
    apart = lots.between(0.6, 0.87)
    for name, figures in given.items():
        kind = circuit.parts[name].kind.word

        def scale(figure: str, factor: Array, name: str = name) -> None:
            if figure in given[name]:
                changes[name, figure] = given[name][figure].value * factor

        if kind == "pump":
            scale("displacement", lots.times(0.1, 3.0))
            changes[name, "volumetric"] = lots.between(0.6, 0.99)
            changes[name, "mechanical"] = lots.between(0.7, 0.98)
            scale("margin", lots.times(0.5, 2.0))
            scale("torque limit", lots.times(0.3, 3.0))
            # cut-off and relief stand apart, as they must
            if "compensator" in figures:
                changes[name, "compensator"] = given["R1"]["set"].value * level * apart
        elif name in ("R1", "R2"):
            scale("set", level)
        elif kind in ("counterbalance", "brake valve"):
            scale("set", level)
            changes[name, "pilot"] = lots.times(1.0, 12.0)
        elif kind in ("pilot check", "double pilot check"):
            changes[name, "ratio"] = lots.times(1.5, 12.0)
        elif kind in ("reducing valve", "sequence", "unloading valve", "crossport relief"):
            scale("set", level * lots.times(0.7, 1.3))
        elif kind == "line":
            scale("bore", lots.times(0.7, 1.5))
            scale("length", lots.times(0.1, 10.0))
        elif kind in ("throttle", "flow control", "section", "valve"):
            scale("flow", lots.times(0.2, 5.0))
    writer = Writer(design, Units(), str)
    for i, branch in enumerate(design.branches, 1):
        _branch(changes, circuit, i, branch, writer.strength(branch), level, lots)
    return changes


def _branch(
    changes: Changes,
    circuit: Circuit,
    i: int,
    branch: Branch,
    strength: float,
    level: Array,
    lots: Lots,
) -> None:
    """Change an actuator, what hangs on it, and how far its valve is opened."""
    if branch.valve in ("section", "4/3 proportional"):
        changes[f"V{i}", "opening"] = lots.times(0.03, 1.0)
    single = branch.actuator in ("single acting", "plunger")
    # a driving load would pull a rod of one acting side out for ever
    load = strength * level * lots.between(0.0 if single else -0.5, 1.3)
    if branch.actuator == "motor":
        changes[f"M{i}", "load"] = load
        changes[f"M{i}", "volumetric"] = lots.between(0.7, 0.99)
        return
    rod = circuit.parts[f"C{i}"]
    size = lots.times(0.3, 3.0)
    changes[rod.name, "load"] = load * size**2
    for figure in ("bore", "rod"):
        if figure in rod.figures:
            changes[rod.name, figure] = rod.figures[figure].value * size
    if branch.weight:
        weight = strength * level * size**2
        changes[rod.name, "weight"] = weight * lots.between(0.02, 0.7)
    changes[rod.name, "efficiency"] = lots.between(0.85, 1.0)


def _temperatures(circuit: Circuit, lots: Lots) -> Array:
    """Temperatures at which the oil is as thick as drawn [degC]."""
    wanted = lots.times(THIN, THICK)
    cold, hot = np.full(lots.count, -30.0), np.full(lots.count, 200.0)
    for _ in range(40):
        middle = 0.5 * (cold + hot)
        thick = np.asarray(circuit.oil.nu(middle)) > wanted
        cold, hot = np.where(thick, middle, cold), np.where(thick, hot, middle)
    found: Array = 0.5 * (cold + hot)
    return found
