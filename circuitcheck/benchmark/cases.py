"""Circuits of the benchmark: what varies in them, at random and along a sweep."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from circuitcheck.basics.folders import folder
from circuitcheck.pipeline import Project, load
from circuitcheck.solver.system import Case, Changes

Range = tuple[float, float]


@dataclass(frozen=True)
class Bench:
    """A circuit file and the figures that are drawn at random; ranges in SI, oil in degC."""

    word: str
    title: str
    ranges: dict[tuple[str, str], Range]
    swept: tuple[str, str] = ("C1", "load")

    def cold(self, count: int, seed: int) -> Case:
        """Give a case of so many random states."""
        rng = np.random.default_rng(seed)
        return self._case(
            {name: rng.uniform(low, high, count) for name, (low, high) in self.ranges.items()},
            count,
        )

    def sweep(self, count: int) -> Case:
        """Give a case that goes through the range of one load in even steps."""
        return self._case({self.swept: np.linspace(*self.ranges[self.swept], count)}, count)

    def project(self) -> Project:
        """Read the circuit."""
        return load(folder("benchmark") / "circuits" / f"{self.word}.hyc")

    def _case(self, changes: Changes, count: int) -> Case:
        circuit = self.project().circuit
        return Case(circuit, circuit.steps, changes, variations=count)


BENCHES = (
    Bench(
        "ten",
        "fixed pump, one rod",
        {
            ("R1", "set"): (50e5, 300e5),
            ("C1", "load"): (1e3, 60e3),
            ("V1", "opening"): (0.05, 1.0),
            ("oil", "temperature"): (20.0, 70.0),
        },
    ),
    Bench(
        "thirty",
        "load sensing, two sections",
        {
            ("R1", "set"): (50e5, 300e5),
            ("C1", "load"): (1e3, 60e3),
            ("C2", "load"): (1e3, 90e3),
            ("S1/V1", "opening"): (0.05, 1.0),
            ("S2/V1", "opening"): (0.05, 1.0),
            ("oil", "temperature"): (20.0, 70.0),
        },
    ),
)
