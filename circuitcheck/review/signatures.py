"""What meters would show with each fault at each size: the solver asked in a few large runs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from circuitcheck.circuit.model import Circuit, Claim, Step
from circuitcheck.laws.smoothing import Array
from circuitcheck.review.faults import Fault
from circuitcheck.rules import computed
from circuitcheck.solver.operating import OperatingPoint
from circuitcheck.solver.solve import STEADY, solve

AT_ONCE = 400
"""Steps that are solved in one run; more gain nothing."""

FINE = 40
"""Points between two solved sizes."""


@dataclass(frozen=True)
class Signature:
    """What ``meters`` show with a fault: ``shown`` has shape (sizes, meters), in SI.

    ``figures`` are the sizes that were solved; NaN where a meter has no value.
    """

    fault: Fault
    figures: Array
    shown: Array

    def fine(self) -> tuple[Array, Array]:
        """Give sizes and readings with straight lines between the solved sizes."""
        if len(self.figures) < 2:
            return self.figures, self.shown
        way = np.arange(len(self.figures), dtype=float)
        dense = np.linspace(0.0, way[-1], (len(way) - 1) * FINE + 1)
        shown = [np.interp(dense, way, column) for column in self.shown.T]
        return np.interp(dense, way, self.figures), np.array(shown).T


def sound(circuit: Circuit, meters: Sequence[Claim], oil: dict[str, float]) -> Array:
    """Give what meters show on the sound machine [SI], shape (meters,)."""
    alone: Array = _shown(circuit, meters, oil, None, np.zeros(1))[0]
    return alone


def signatures(
    circuit: Circuit, meters: Sequence[Claim], oil: dict[str, float], faults: Sequence[Fault]
) -> list[Signature]:
    """Give the signature of every fault; sizes that cannot be solved are left out.

    ``oil`` gives the oil temperature [degC] of steps in which it was read.
    """
    found = []
    for fault in faults:
        figures = fault.figures
        shown = _shown(fault.circuit or circuit, meters, oil, fault, figures)
        solved = ~np.isnan(shown).all(axis=1)
        if solved.any():
            found.append(Signature(fault, figures[solved], shown[solved]))
    return found


def _shown(
    circuit: Circuit, meters: Sequence[Claim], oil: dict[str, float], fault: Fault | None,
    sizes: Array,
) -> Array:  # fmt: skip
    """Solve a circuit with one figure in several sizes; readings of shape (sizes, meters)."""
    steps = circuit.steps or [STEADY]
    at_once = max(AT_ONCE // len(steps), 1)
    found = [
        _run(circuit, steps, meters, oil, fault, sizes[i : i + at_once])
        for i in range(0, len(sizes), at_once)
    ]
    return np.concatenate(found)


def _run(
    circuit: Circuit, steps: Sequence[Step], meters: Sequence[Claim], oil: dict[str, float],
    fault: Fault | None, sizes: Array,
) -> Array:  # fmt: skip
    copies = [replace(step, name=f"{step.name} {i}") for i in range(len(sizes)) for step in steps]
    warm = [oil.get(s.name, s.oil_degC) for s in steps]
    degC = np.array([circuit.oil_degC if t is None else t for t in warm])
    changes = {("oil", "temperature"): np.tile(degC, len(sizes))}
    if fault is not None and fault.owner == "oil":
        changes["oil", "temperature"] = (degC + (sizes - fault.sound)[:, None]).ravel()
    elif fault is not None:
        changes[fault.owner, fault.figure] = np.repeat(sizes, len(steps))
        changes |= {(fault.owner, name): np.array(v) for name, v in fault.beside.items()}
    points = solve(replace(circuit, steps=copies), changes).points
    shown = np.full((len(sizes), len(meters)), np.nan)
    for i in range(len(sizes)):
        here = points[i * len(steps) : (i + 1) * len(steps)]
        if all(point.success for point in here):
            shown[i] = [_value(meter, steps, here) for meter in meters]
    return shown


def _value(meter: Claim, steps: Sequence[Step], points: Sequence[OperatingPoint]) -> float:
    for step, point in zip(steps, points, strict=True):
        if step.name == meter.step:
            value = computed(meter, point)
            return np.nan if value is None else value
    return np.nan
